package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;

/** Something that waits for the next commit. Writing it twice has the effect of once. */
interface WaitingRow {

  /** Writes it inside the commit's transaction. */
  void write(Connection connection) throws SQLException;

  /** The same in a log that was written before, behind all that this one holds. */
  default WaitingRow behind(FreeNumbers there) {
    return this;
  }

  /** Roughly how much memory it holds. */
  int bytes();
}
