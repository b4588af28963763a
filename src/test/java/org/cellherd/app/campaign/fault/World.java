package org.cellherd.app.campaign.fault;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.Consumer;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.campaign.stage.Life;
import org.cellherd.app.campaign.stage.RealSite;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.app.campaign.stage.RunClock;

/**
 * What faults can lay hands on.
 *
 * @param wires the packs' lines
 * @param clock the clock that the program sees
 * @param life the program
 * @param card where its log lies
 * @param path its way to the broker
 * @param real ports, files and people of a real process, where there is one
 * @param complaints takes what was answered wrongly
 */
public record World(
    List<RoughWire> wires,
    RunClock clock,
    Life life,
    Card card,
    BrokenPath path,
    Optional<RealSite> real,
    Consumer<String> complaints) {

  /** Copies the list. */
  public World {
    wires = List.copyOf(wires);
  }

  RoughWire anyWire(Random random) {
    return wires.get(random.nextInt(wires.size()));
  }

  RealSite site() {
    return real.orElseThrow(() -> new IllegalStateException("no real process"));
  }
}
