package org.cellherd.store.loss;

/**
 * Rows of a table that the log had and does not give back as they were written.
 *
 * @param table name of the table
 * @param rows how many
 * @param fromMs earliest time of the rows that lay together, ms UTC
 * @param toMs latest time of those, ms UTC
 */
public record RowLoss(String table, int rows, long fromMs, long toMs) {

  /** One sentence: which table, how many, from when to when. */
  public String sentence() {
    return "Table "
        + table
        + " of the log: "
        + rows
        + (rows == 1 ? " row" : " rows")
        + " between "
        + Loss.time(fromMs)
        + " and "
        + Loss.time(toMs)
        + (rows == 1 ? " is" : " are")
        + " damaged or missing.";
  }
}
