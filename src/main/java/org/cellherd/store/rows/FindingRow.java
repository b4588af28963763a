package org.cellherd.store.rows;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.store.sql.Database;

/** A row of table {@code finding}; the same finding over the same stretch replaces the older. */
public record FindingRow(String pack, Finding finding) implements WaitingRow {

  /** What {@link #of} reads, in its order. */
  public static final String COLUMNS = "from_ms, to_ms, facts, sentence";

  /** The finding of a row that selected {@link #COLUMNS}. */
  public static Finding of(FindingName name, ResultSet row) throws SQLException {
    return ResultForm.finding(
        name, row.getLong(1), row.getLong(2), FactsCodec.decode(row.getBytes(3)), row.getString(4));
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
