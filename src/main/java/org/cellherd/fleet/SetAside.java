package org.cellherd.fleet;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.UUID;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.pack.Spoken;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * Copies of what could not be stored, for whoever looks for the reason. The parcel itself stays
 * with its site, so nothing is lost when a copy goes: the newest hundred of a site stay, for a
 * month.
 */
final class SetAside {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  /** The beginning says what it is; a whole one may have three megabytes. */
  private static final int LONGEST = 65_536;

  /**
   * Runs with the rights of the owner: nobody else takes anything away, and whoever calls it takes
   * away only what is due.
   */
  static final List<String> DUE =
      List.of(
          """
          CREATE FUNCTION set_aside_due(whose text)
          RETURNS TABLE(of_site text, dropped bigint, oldest timestamptz)
          LANGUAGE sql SECURITY DEFINER SET search_path = cellherd, pg_temp AS $$
          WITH due AS (SELECT site, id FROM (SELECT site, id, at, row_number() OVER
            (PARTITION BY site ORDER BY at DESC, id) AS n FROM set_aside
            WHERE whose IS NULL OR site = whose) AS o
            WHERE o.n > 100 OR o.at < now() - interval '30 days'),
          gone AS (DELETE FROM set_aside s USING due d WHERE s.site = d.site AND s.id = d.id
            RETURNING s.site, s.at)
          SELECT site, count(*), min(at) FROM gone GROUP BY site
          $$\
          """);

  private static final String PUT =
      "INSERT INTO set_aside(site, id, why, message) VALUES (?,?,?,?) ON CONFLICT (site, id)"
          + " DO UPDATE SET at = now(), why = excluded.why, message = excluded.message";

  private SetAside() {}

  /** Keeps a copy of a parcel in place of one that was kept of it before. */
  static void put(Centre centre, Arrived arrived, String why) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    String site = arrived.lane().site();
    String log = arrived.text().log();
    String which = String.join("\n", site, log, parcel.kind().word(), parcel.key());
    String message =
        String.join("\n", ParcelText.of(log, arrived.text().token(), parcel)).replace('\0', ' ');
    centre.change(
        c ->
            Database.update(
                c,
                PUT,
                site,
                UUID.nameUUIDFromBytes(which.getBytes(StandardCharsets.UTF_8)),
                why.replace('\0', ' '),
                message.substring(0, Math.min(LONGEST, message.length()))));
    dropDue(centre, site);
  }

  /**
   * Drops what is too much or too old, and says what.
   *
   * @param site of which site; null for all
   */
  static void dropDue(Centre centre, @Nullable String site) throws CentreTrouble {
    centre.change(
        c -> {
          String due = "SELECT of_site, dropped, oldest FROM set_aside_due(?)";
          Database.each(
              c,
              due,
              row ->
                  LOG.log(
                      System.Logger.Level.INFO,
                      String.format(
                          "site %s: copies of %s refused, from %s on, dropped; the site"
                              + " has the parcels",
                          row.getString(1),
                          Spoken.counted(row.getLong(2), "parcel"),
                          row.getTimestamp(3).toInstant())),
              site);
          return true;
        });
  }
}
