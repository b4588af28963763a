package org.cellherd.fleet;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Optional;
import java.util.UUID;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.pack.Worded;
import org.cellherd.store.Parcel;
import org.cellherd.store.RebuiltLog;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;

/** One site's log as the centre holds it. */
public final class SiteLog {

  private static final int AT_A_TIME = 100;

  private final Centre centre;
  private final String site;
  private final UUID log;

  /** What no result rests on: results themselves and what only follows from readings. */
  private static final String TO_FOLD =
      " AND kind NOT IN ('finding', 'alert', 'event', 'acknowledgement', 'hour', 'day')";

  /**
   * What came after what no column of an event says; and of two hours that are one row, because a
   * damaged site forgot to withdraw the one before its times were set right, the newer stays.
   */
  private static final String IN_ORDER = " ORDER BY rev";

  SiteLog(Centre centre, String site, UUID log) {
    this.centre = centre;
    this.site = site;
    this.log = log;
  }

  /**
   * The log of a site that was forwarded last.
   *
   * @throws CentreTrouble also when nothing of the site is held
   */
  public static SiteLog newest(Centre centre, String site) throws CentreTrouble {
    String sql = "SELECT log FROM log WHERE site = ? ORDER BY last_at DESC, log LIMIT 1";
    return centre
        .change(c -> Database.first(c, sql, row -> row.getObject(1, UUID.class), site))
        .map(log -> new SiteLog(centre, site, log))
        .orElseThrow(
            () -> new CentreTrouble("the centre holds nothing of a site \"" + site + "\""));
  }

  String site() {
    return site;
  }

  UUID log() {
    return log;
  }

  /** The plan of a pack, as the site last sent it. */
  public Optional<String> planText(String pack) throws CentreTrouble {
    return centre.change(
        c -> {
          String sql =
              "SELECT facts->>'plan_text' FROM pack_facts WHERE site = ? AND log = ? AND pack = ?";
          try (PreparedStatement statement = Database.prepare(c, sql, site, log, pack);
              ResultSet row = statement.executeQuery()) {
            return row.next() ? Optional.ofNullable(row.getString(1)) : Optional.empty();
          }
        });
  }

  /**
   * Makes the site's log anew in a file.
   *
   * @param pack of which pack; empty for all
   */
  public void rebuild(Path file, Optional<String> pack) throws CentreTrouble, StorageFailure {
    write(file, pack, "");
  }

  /** Makes what results of a pack rest on a log in a file: its readings, what people noted. */
  public void rebuildToFold(Path file, String pack) throws CentreTrouble, StorageFailure {
    write(file, Optional.of(pack), TO_FOLD);
  }

  private void write(Path file, Optional<String> pack, String which)
      throws CentreTrouble, StorageFailure {
    StorageFailure[] refused = {null};
    centre.change(
        c -> {
          try {
            RebuiltLog.write(file, log.toString(), taker -> each(c, pack, which + IN_ORDER, taker));
          } catch (StorageFailure failure) {
            refused[0] = failure;
          }
          return true;
        });
    if (refused[0] != null) {
      if (refused[0].getCause() instanceof CentreTrouble trouble) {
        throw trouble;
      }
      throw refused[0];
    }
  }

  private void each(
      Connection connection, Optional<String> pack, String which, RebuiltLog.Taker taker)
      throws StorageFailure {
    String sql =
        "SELECT kind, key, rev, body FROM parcel WHERE site = ? AND log = ? AND body IS NOT NULL"
            + (pack.isPresent() ? " AND pack IN (?, '')" : "")
            + which;
    try (PreparedStatement statement =
        pack.isPresent()
            ? Database.prepare(connection, sql, site, log, pack.get())
            : Database.prepare(connection, sql, site, log)) {
      statement.setFetchSize(AT_A_TIME);
      try (ResultSet row = statement.executeQuery()) {
        while (row.next()) {
          Optional<ParcelKind> kind = Worded.find(ParcelKind.values(), row.getString(1));
          if (kind.isPresent()) {
            taker.take(
                new Parcel(
                    kind.get(),
                    row.getString(2),
                    row.getLong(3),
                    new PackedBytes(row.getBytes(4))));
          }
        }
      }
    } catch (SQLException e) {
      CentreTrouble trouble = centre.trouble(e);
      throw new StorageFailure(Kind.REFUSED, trouble.getMessage(), trouble);
    }
  }
}
