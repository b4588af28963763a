package org.cellherd.store;

import java.nio.file.Path;
import org.cellherd.pack.Spoken;

/**
 * What was saved out of a damaged file.
 *
 * @param damaged where the damaged file is now
 * @param blocksKept blocks of readings that were whole
 * @param blocksLost blocks that were damaged or could not be reached, as far as numbers tell
 * @param alertsKept alerts
 * @param eventsKept events of the outbox, delivered ones counted
 * @param otherRowsKept rows of all other tables
 * @param hoursKnown true when it is known of all hours how many readings they had
 * @param complete true when every page of every table could be read
 */
record Salvage(
    Path damaged,
    long blocksKept,
    long blocksLost,
    long alertsKept,
    long eventsKept,
    long otherRowsKept,
    boolean hoursKnown,
    boolean complete) {

  /** One sentence for the log. */
  public String sentence() {
    return "The log was damaged and has been rebuilt; the damaged file is kept as "
        + damaged
        + ". Recovered: "
        + Spoken.counted(blocksKept, "block")
        + " of readings ("
        + blocksLost
        + " lost), "
        + Spoken.counted(alertsKept, "alert")
        + ", "
        + Spoken.counted(eventsKept, "event")
        + " and "
        + Spoken.counted(otherRowsKept, "other row")
        + (complete ? "." : "; some pages could not be read.")
        + (hoursKnown
            ? ""
            : " The number of readings in each hour is also lost, so readings missing between two"
                + " runs, or for up to 30 s or 4 polls within one, are not reported.");
  }
}
