package org.cellherd.app.campaign.stage;

import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * What surrounds a real process.
 *
 * @param tcp the bridge of the first pack
 * @param cable the serial line of the second
 * @param shim what stands between it and the system
 * @param child the process
 * @param strangers who come to its page
 * @param people who talk to it by the broker
 * @param desk who asks the program's verbs beside it
 */
public record RealSite(
    BoardPort tcp,
    SerialCable cable,
    Shim shim,
    Child child,
    Strangers strangers,
    People people,
    VerbDesk desk) {

  private static final AtomicInteger COUNT = new AtomicInteger();

  /** Its log. */
  public Path log() {
    return child.log();
  }

  /** Where a log can be put aside, on the same card. */
  public Path aside(Path log) {
    return log.resolveSibling("aside-" + COUNT.incrementAndGet() + ".db");
  }
}
