package org.cellherd.page;

import java.time.ZoneId;
import java.util.List;
import java.util.function.Supplier;
import org.cellherd.alert.Acknowledger;
import org.cellherd.pack.TimeSource;

/**
 * What a page needs of the program around it.
 *
 * @param site name of the place
 * @param program name and version
 * @param packs in the order of the config
 * @param history the log
 * @param acknowledger takes acknowledgements
 * @param health asked from any thread when figures are wanted
 * @param time the computer's clocks
 * @param zone days begin at midnight here
 */
public record PageParts(
    String site,
    String program,
    List<PagePack> packs,
    PackHistory history,
    Acknowledger acknowledger,
    Supplier<SiteHealth> health,
    TimeSource time,
    ZoneId zone) {
  public PageParts {
    packs = List.copyOf(packs);
  }
}
