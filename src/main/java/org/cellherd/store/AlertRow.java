package org.cellherd.store;

import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Rules;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/** The columns that tables {@code alert} and {@code event} share. */
final class AlertRow {

  /** What {@link #values} gives and {@link #of} reads, in their order. */
  public static final String COLUMNS =
      "pack, rule, cell, state, priority, since_ms, time_ms, value, limit_value, unit, text,"
          + " first_step, evidence, acknowledged_by, clock_sure";

  /** One mark for each column. */
  public static final String MARKS = "?,?,?,?,?,?,?,?,?,?,?,?,?,?,?";

  private AlertRow() {}

  /** The values of {@link #COLUMNS}, in their order. */
  public static @Nullable Object[] values(Alert alert) {
    return new @Nullable Object[] {
      alert.key().pack(),
      alert.key().rule().word(),
      alert.key().cell(),
      alert.state().word(),
      alert.priority().word(),
      alert.sinceMs(),
      alert.timeMs(),
      known(alert.value()),
      known(alert.limit()),
      alert.unit(),
      alert.text(),
      alert.firstStep(),
      FactsCodec.encode(alert.evidence()),
      alert.acknowledgedBy().orElse(null),
      alert.clockSure()
    };
  }

  private static @Nullable Double known(double value) {
    return Double.isNaN(value) ? null : value;
  }

  /** Binds some leading values and then the alert's. */
  public static void bind(PreparedStatement statement, Alert alert, Object... leading)
      throws SQLException {
    @Nullable Object[] columns = values(alert);
    @Nullable Object[] all = new @Nullable Object[leading.length + columns.length];
    System.arraycopy(leading, 0, all, 0, leading.length);
    System.arraycopy(columns, 0, all, leading.length, columns.length);
    Database.bind(statement, all);
  }

  /**
   * The alert of a row whose columns begin at {@code at}; empty when its rule, state or priority is
   * not known to this version.
   */
  public static Optional<Alert> of(String id, ResultSet row, int at) throws SQLException {
    Optional<RuleId> rule = Rules.find(row.getString(at + 1));
    Optional<AlertState> state = Worded.find(AlertState.values(), row.getString(at + 3));
    Optional<Priority> priority = Priority.ofWord(row.getString(at + 4));
    if (rule.isEmpty() || state.isEmpty() || priority.isEmpty()) {
      return Optional.empty();
    }
    Facts evidence = FactsCodec.decode(row.getBytes(at + 12));
    return Optional.of(
        new Alert(
            id,
            new AlertKey(row.getString(at), rule.get(), row.getInt(at + 2)),
            state.get(),
            priority.get(),
            row.getLong(at + 5),
            row.getLong(at + 6),
            number(row, at + 7),
            number(row, at + 8),
            row.getString(at + 9),
            Alert.ClockError.of(evidence).in(row.getString(at + 10)),
            row.getString(at + 11),
            evidence,
            Optional.ofNullable(row.getString(at + 13)),
            row.getInt(at + 14) != 0));
  }

  private static double number(ResultSet row, int column) throws SQLException {
    double value = row.getDouble(column);
    return row.wasNull() ? Double.NaN : value;
  }
}
