package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;

/** A look at every reading that a log holds or says that there was. */
final class Examination {

  private static final String ROWS =
      "SELECT %s FROM block UNION ALL SELECT %s FROM recent ORDER BY pack, start_ms"
          .formatted(ReadingsRow.COLUMNS, ReadingsRow.COLUMNS);

  private Examination() {}

  /** Packs whose sums the log holds. */
  static List<String> packs(Connection connection) throws SQLException {
    List<String> packs = new ArrayList<>();
    String sql = "SELECT DISTINCT pack FROM seal WHERE pack <> ''";
    try (PreparedStatement statement = Database.prepare(connection, sql);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        packs.add(row.getString(1));
      }
    }
    return packs;
  }

  /** Readings that it cannot give back. */
  static List<Loss> losses(Connection connection) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    try (PreparedStatement statement = Database.prepare(connection, ROWS);
        ResultSet result = statement.executeQuery()) {
      while (result.next()) {
        ReadingsRow row = ReadingsRow.of(result);
        try {
          row.checkCrc();
        } catch (BlockDamaged damaged) {
          losses.add(DamagedRow.loss(connection, row));
        }
      }
    }
    losses.addAll(new Holes(connection).untold());
    return losses;
  }
}
