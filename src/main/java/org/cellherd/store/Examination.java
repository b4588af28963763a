package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.store.sql.Database;

/** A look at every reading that a log holds or says that there was. */
final class Examination {

  private static final String ROWS =
      "SELECT %s FROM block UNION ALL SELECT %s FROM recent ORDER BY pack, start_ms"
          .formatted(ReadingsRow.COLUMNS, ReadingsRow.COLUMNS);

  private Examination() {}

  /** Packs whose sums the log holds. */
  static List<String> packs(Connection connection) throws SQLException {
    String sql = "SELECT DISTINCT pack FROM seal WHERE pack <> ''";
    return Database.rows(connection, sql, row -> row.getString(1));
  }

  /** Readings that it cannot give back. */
  static List<Loss> losses(Connection connection) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    Database.each(
        connection,
        ROWS,
        result -> {
          ReadingsRow row = ReadingsRow.of(result);
          if (!row.isWhole()) {
            losses.add(DamagedRow.loss(connection, row));
          }
        });
    losses.addAll(new Holes(connection).untold());
    return losses;
  }
}
