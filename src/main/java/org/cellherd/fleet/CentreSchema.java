package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.store.sql.Database;

/**
 * The tables at the centre. Each primary key begins with the site, so that one statement a table
 * distributes it. A released step never changes: add another.
 */
final class CentreSchema {

  /** PostgreSQL schema that all tables lie in. */
  static final String NAME = "cellherd";

  /** Marks our advisory locks: "clhd" in ASCII. */
  static final int LOCKS = 0x636c6864;

  /** Beyond the lanes: one at a time changes the schema. */
  static final int SCHEMA_LOCK = 2_000;

  /** Likewise: one at a time fills the queue of packs to fold again. */
  static final int REFOLD_LOCK = 2_001;

  private static final String OF_PARCELS = "site text NOT NULL, log uuid NOT NULL, ";

  private static final String SUMS =
      OF_PARCELS
          + "month date NOT NULL, pack text NOT NULL, session bigint NOT NULL,"
          + " start_ms bigint NOT NULL, channel text[] NOT NULL, count bigint[] NOT NULL,"
          + " min bigint[] NOT NULL, mean double precision[] NOT NULL, max bigint[] NOT NULL,"
          + " PRIMARY KEY (site, log, month, pack, session, start_ms)";

  private static final List<List<String>> STEPS =
      List.of(
          List.of(
              "CREATE TABLE log("
                  + OF_PARCELS
                  + "top_rev bigint NOT NULL DEFAULT 0, first_at timestamptz NOT NULL DEFAULT"
                  + " now(), last_at timestamptz NOT NULL DEFAULT now(), PRIMARY KEY (site, log))",
              "CREATE TABLE parcel("
                  + OF_PARCELS
                  + "month date NOT NULL, kind text NOT NULL, key text NOT NULL,"
                  + " pack text NOT NULL, rev bigint NOT NULL, crc bigint NOT NULL, body bytea,"
                  + " PRIMARY KEY (site, log, month, kind, key)) PARTITION BY RANGE (month)",
              "CREATE TABLE hour_sum(" + SUMS + ") PARTITION BY RANGE (month)",
              "CREATE TABLE day_sum(" + SUMS + ") PARTITION BY RANGE (month)",
              "CREATE TABLE alert("
                  + OF_PARCELS
                  + "id text NOT NULL, pack text NOT NULL, rule text NOT NULL, cell integer NOT"
                  + " NULL, state text NOT NULL, stands boolean NOT NULL, priority text NOT NULL,"
                  + " since_ms bigint NOT NULL, time_ms bigint NOT NULL, text text NOT NULL,"
                  + " first_step text NOT NULL, acknowledged_by text,"
                  + " at timestamptz NOT NULL DEFAULT clock_timestamp(),"
                  + " PRIMARY KEY (site, log, id))",
              "CREATE INDEX alert_at ON alert(at)",
              "CREATE TABLE finding("
                  + OF_PARCELS
                  + "pack text NOT NULL, name text NOT NULL, from_ms bigint NOT NULL,"
                  + " to_ms bigint NOT NULL, sentence text NOT NULL, facts jsonb NOT NULL,"
                  + " PRIMARY KEY (site, log, pack, name, to_ms, from_ms))",
              "CREATE TABLE pack_now("
                  + OF_PARCELS
                  + "pack text NOT NULL, worst smallint NOT NULL, since_ms bigint,"
                  + " heard_ms bigint, chemistry text NOT NULL, rules text[] NOT NULL,"
                  + " facts jsonb NOT NULL, at timestamptz NOT NULL DEFAULT now(),"
                  + " PRIMARY KEY (site, log, pack))",
              "CREATE INDEX pack_now_worst ON pack_now(worst DESC, since_ms, site, pack)",
              "CREATE TABLE set_aside("
                  + "site text NOT NULL, id uuid NOT NULL DEFAULT gen_random_uuid(),"
                  + " at timestamptz NOT NULL DEFAULT now(), why text NOT NULL,"
                  + " message text NOT NULL, PRIMARY KEY (site, id))"),
          CentreViews.ALL,
          List.of(
              "CREATE TABLE folded("
                  + OF_PARCELS
                  + "pack text NOT NULL, folds jsonb NOT NULL DEFAULT '{}', waits_for jsonb,"
                  + " worst smallint NOT NULL DEFAULT 0, heard_ms bigint NOT NULL DEFAULT 0,"
                  + " findings integer, trouble text, at timestamptz,"
                  + " PRIMARY KEY (site, log, pack))",
              "CREATE INDEX folded_waits ON folded(worst DESC, heard_ms DESC, site, log, pack)"
                  + " WHERE waits_for IS NOT NULL",
              // What is sought by and counted stays together, the large states beside it.
              "ALTER TABLE pack_now SET (toast_tuple_target = 128)"),
          Months.READY,
          SetAside.DUE,
          NowRow.APART);

  private CentreSchema() {}

  /**
   * Makes what is missing.
   *
   * @param where the centre, for people
   */
  static boolean migrate(Connection connection, String where) throws SQLException, CentreTrouble {
    lock(connection, SCHEMA_LOCK);
    if (Database.number(connection, "SELECT 1 FROM pg_namespace WHERE nspname = ?", NAME)
        .isEmpty()) {
      Database.execute(connection, "CREATE SCHEMA " + NAME);
    }
    OptionalLong found = version(connection);
    if (found.isEmpty()) {
      Database.execute(connection, "CREATE TABLE schema_version(version integer PRIMARY KEY)");
    }
    refuseNewer(found, where);
    refuseViews(connection, where);
    refuseStranger(connection, found, where);
    raise(connection, (int) found.orElse(0), STEPS.size());
    refuseReader(connection, where);
    return true;
  }

  /** Takes the tables from one version to a later one. */
  static void raise(Connection connection, int from, int to) throws SQLException {
    for (int step = from; step < to; step++) {
      for (String statement : STEPS.get(step)) {
        Database.execute(connection, statement);
      }
      Database.update(connection, "INSERT INTO schema_version VALUES (?)", step + 1);
    }
  }

  /** Holds one of our locks until the end of the transaction. */
  static void lock(Connection connection, int lock) throws SQLException {
    Database.number(connection, "SELECT 1 FROM pg_advisory_xact_lock(?, ?)", LOCKS, lock);
  }

  /** Refuses what this program cannot read. */
  static void check(Connection connection, String where) throws SQLException, CentreTrouble {
    OptionalLong found = version(connection);
    refuseNewer(found, where);
    if (found.orElse(0) < STEPS.size()) {
      throw new CentreTrouble(
          "centre "
              + where
              + (found.isEmpty()
                  ? " holds no sites yet; cellherd gather makes its tables"
                  : " has tables of an older version; start cellherd gather of this version once"));
    }
  }

  /** Who may only read would fail at the first parcel only. */
  private static void refuseReader(Connection connection, String where)
      throws SQLException, CentreTrouble {
    String closed =
        "SELECT 1 FROM pg_class WHERE relnamespace = ?::regnamespace AND relkind IN ('r', 'p') AND"
            + " NOT relispartition AND relname <> 'schema_version' AND NOT"
            + " (has_table_privilege(oid, 'INSERT') AND has_table_privilege(oid, 'UPDATE')) LIMIT"
            + " 1";
    if (Database.number(connection, closed, NAME).isPresent()) {
      throw new CentreTrouble(
          "centre "
              + where
              + " lets this user read only; gather as one who may write, see the roles in"
              + " fleet.md");
    }
  }

  /** Only who made the tables can change them. */
  private static void refuseStranger(Connection connection, OptionalLong found, String where)
      throws SQLException, CentreTrouble {
    String owned =
        "SELECT 1 FROM pg_class WHERE relnamespace = ?::regnamespace AND relname ="
            + " 'schema_version' AND pg_has_role(relowner, 'USAGE')";
    if (found.isPresent()
        && found.getAsLong() < STEPS.size()
        && Database.number(connection, owned, NAME).isEmpty()) {
      throw new CentreTrouble(
          "centre "
              + where
              + " has tables of an older version; start cellherd gather of this version once as"
              + " the user who made them");
    }
  }

  private static void refuseViews(Connection connection, String where)
      throws SQLException, CentreTrouble {
    String view =
        "SELECT 1 FROM pg_class WHERE relnamespace = ?::regnamespace AND relkind = 'v'"
            + " AND relname = 'parcel'";
    if (Database.number(connection, view, NAME).isPresent()) {
      throw new CentreTrouble(
          "centre " + where + " only reads other servers; gather into each of them, see fleet.md");
    }
  }

  private static void refuseNewer(OptionalLong found, String where) throws CentreTrouble {
    if (found.orElse(0) > STEPS.size()) {
      throw new CentreTrouble(
          "centre "
              + where
              + " has tables of version "
              + found.orElse(0)
              + ", this program knows up to "
              + STEPS.size()
              + "; nothing was changed. Use the newer program");
    }
  }

  private static OptionalLong version(Connection connection) throws SQLException {
    // A table, or a view of the tables of several servers.
    String table =
        "SELECT 1 FROM pg_class WHERE relnamespace = to_regnamespace(?)"
            + " AND relname = 'schema_version'";
    return Database.number(connection, table, NAME).isEmpty()
        ? OptionalLong.empty()
        // By its full name: without the right to the schema it would seem not to be there.
        : Database.number(
            connection, "SELECT coalesce(max(version), 0) FROM " + NAME + ".schema_version");
  }
}
