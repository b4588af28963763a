package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** One step of the schema; runs inside a transaction with all other steps that are due. */
interface Migration {

  /** Changes the schema from the version before. */
  void apply(Connection connection) throws SQLException;
}
