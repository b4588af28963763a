package org.cellherd.fleet;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.HexFormat;
import java.util.List;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.Database;
import org.postgresql.PGConnection;

/** The yardstick of storing: COPY of the same bytes into a table of the same form, by as many. */
final class CopiedParcels {

  private CopiedParcels() {}

  /** Makes the table. */
  static void begin(Centre centre) throws CentreTrouble {
    centre.change(
        c -> {
          Database.execute(c, "CREATE TABLE IF NOT EXISTS copied (LIKE parcel INCLUDING ALL)");
          return true;
        });
  }

  /** Copies batches, each in a commit of its own. */
  static void copy(Centre centre, List<List<Arrived>> batches) throws CentreTrouble {
    for (List<Arrived> batch : batches) {
      StringBuilder rows = new StringBuilder();
      for (Arrived each : batch) {
        Parcel parcel = each.text().parcel();
        rows.append(each.lane().site()).append('\t').append(each.text().log());
        rows.append("\t2026-01-01\t").append(parcel.kind().word()).append('\t');
        rows.append(parcel.key()).append("\thut\t").append(parcel.rev()).append('\t');
        rows.append(parcel.crc()).append("\t\\\\x");
        rows.append(HexFormat.of().formatHex(parcel.body().bytes())).append('\n');
      }
      centre.change(c -> copy(c, rows.toString()));
    }
  }

  private static long copy(Connection connection, String rows) throws SQLException {
    try {
      return connection
          .unwrap(PGConnection.class)
          .getCopyAPI()
          .copyIn(
              "COPY copied FROM STDIN",
              new ByteArrayInputStream(rows.getBytes(StandardCharsets.UTF_8)));
    } catch (IOException e) {
      throw new SQLException(e);
    }
  }
}
