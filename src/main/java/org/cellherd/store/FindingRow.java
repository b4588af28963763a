package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.store.sql.Database;

/** A row of table {@code finding}; the same finding over the same stretch replaces the older. */
record FindingRow(String pack, Finding finding) implements WaitingRow {

  /** What {@link #of} reads, in its order. */
  public static final String COLUMNS = "from_ms, to_ms, facts, sentence";

  /** The finding of a row that selected {@link #COLUMNS}. */
  public static Finding of(FindingName name, ResultSet row) throws SQLException {
    return ResultForm.finding(
        name, row.getLong(1), row.getLong(2), FactsCodec.decode(row.getBytes(3)), row.getString(4));
  }

  /** Every reading lies in a row of readings that began at most so long before it. */
  private static final long HOUR_MS = 3_600_000;

  private static final String WITH_READINGS =
      "EXISTS (SELECT 1 FROM %s r WHERE r.pack = finding.pack AND r.session IN (SELECT id FROM"
          + " session WHERE pack = finding.pack) AND r.start_ms > finding.from_ms - ?3"
          + " AND r.start_ms < finding.to_ms AND r.end_ms > finding.from_ms)";

  /**
   * Drops what was found of a kind, wherever readings are left to find it in again; what was found
   * in readings that are gone stays.
   */
  private record Again(String pack, FindingName name) implements WaitingRow {
    @Override
    public void write(Connection connection) throws SQLException {
      Database.update(
          connection,
          "DELETE FROM finding WHERE pack = ?1 AND name = ?2 AND ("
              + String.format(WITH_READINGS, "block")
              + " OR "
              + String.format(WITH_READINGS, "recent")
              + ")",
          pack,
          name.word(),
          HOUR_MS);
    }

    @Override
    public int bytes() {
      return 100;
    }
  }

  /** What makes room for the findings of a kind, made again of all readings of a pack. */
  public static WaitingRow again(String pack, FindingName name) {
    return new Again(pack, name);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT INTO finding(pack, name, "
            + COLUMNS
            + ") VALUES (?,?,?,?,?,?) ON CONFLICT(pack, name, to_ms, from_ms)"
            + " DO UPDATE SET facts = excluded.facts, sentence = excluded.sentence",
        pack,
        finding.name().word(),
        finding.fromMs(),
        finding.toMs(),
        FactsCodec.encode(finding.facts()),
        finding.sentence());
  }

  @Override
  public int bytes() {
    return 500 + 2 * finding.sentence().length();
  }
}
