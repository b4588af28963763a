package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.LongSummaryStatistics;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertLog;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.Worded;
import org.cellherd.store.sql.Database;

/**
 * Alerts and their outbox. Any thread. Events that the disk did not take are kept in memory, are
 * still handed to the publisher, and go into the file with the next commit that succeeds.
 */
final class LogAlerts implements AlertLog {

  /** Events kept while the disk takes none; above it the oldest delivered or oldest ones go. */
  private static final int MOST_UNSTORED = 10_000;

  private static final String INSERT_ALERT =
      "INSERT INTO alert(id, stands, "
          + AlertRow.COLUMNS
          + ") VALUES (?,?,"
          + AlertRow.MARKS
          + ") ON CONFLICT(id) DO UPDATE SET stands = excluded.stands, state = excluded.state,"
          + " priority = excluded.priority, since_ms = excluded.since_ms,"
          + " time_ms = excluded.time_ms, value = excluded.value,"
          + " limit_value = excluded.limit_value, unit = excluded.unit, text = excluded.text,"
          + " first_step = excluded.first_step, evidence = excluded.evidence,"
          + " acknowledged_by = excluded.acknowledged_by, clock_sure = excluded.clock_sure";

  private static final String INSERT_EVENT =
      "INSERT OR IGNORE INTO event(id, change, alert_id, %s) VALUES (?,?,?,%s)"
          .formatted(AlertRow.COLUMNS, AlertRow.MARKS);

  private final Database database;
  private final Map<String, AlertEvent> unstored = new LinkedHashMap<>();
  private final Map<String, Alert> restated = new LinkedHashMap<>();
  private final Set<String> deliveredUnstored = new LinkedHashSet<>();
  private long dropped;

  LogAlerts(Database database) {
    this.database = database;
  }

  @Override
  public synchronized void commit(List<AlertEvent> events) throws StorageFailure {
    for (AlertEvent event : events) {
      unstored.put(event.id(), event);
      restated.remove(event.alert().id());
    }
    while (unstored.size() > MOST_UNSTORED) {
      unstored.remove(unstored.keySet().iterator().next());
      dropped++;
    }
    retry();
  }

  @Override
  public synchronized void restate(List<Alert> active) throws StorageFailure {
    active.forEach(alert -> restated.put(alert.id(), alert));
    retry();
  }

  /**
   * What the file does not have and will not get, in a sentence; empty when it has all.
   *
   * @param why the cause, one clause
   */
  synchronized Optional<String> unstored(String why) {
    LongSummaryStatistics times =
        unstored.values().stream().mapToLong(e -> e.alert().timeMs()).summaryStatistics();
    long count = times.getCount() + dropped;
    if (count == 0) {
      return Optional.empty();
    }
    long unheard = unstored.keySet().stream().filter(id -> !deliveredUnstored.contains(id)).count();
    return Optional.of(
        count
            + (count == 1 ? " change of an alert" : " changes of alerts")
            + (times.getCount() == 0
                ? ""
                : " from " + Loss.time(times.getMin()) + " to " + Loss.time(times.getMax()))
            + " lost: "
            + why
            + "; "
            + (unheard == 0 ? "every one reached" : unheard + " did not reach")
            + " a broker.");
  }

  /** Writes what an earlier commit could not. */
  synchronized void retry() throws StorageFailure {
    if (unstored.isEmpty() && restated.isEmpty() && deliveredUnstored.isEmpty()) {
      return;
    }
    Set<String> marked =
        database.change(
            c -> {
              insert(c, unstored.values());
              restate(c, restated.values());
              return markDelivered(c, deliveredUnstored);
            });
    unstored.clear();
    restated.clear();
    // The broker may be quicker than the disk: such an id waits for its event.
    deliveredUnstored.removeAll(marked);
    while (deliveredUnstored.size() > MOST_UNSTORED) {
      deliveredUnstored.remove(deliveredUnstored.iterator().next());
    }
  }

  private static void restate(Connection connection, Iterable<Alert> alerts) throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(INSERT_ALERT)) {
      for (Alert alert : alerts) {
        AlertRow.bind(statement, alert, alert.id(), true);
        statement.executeUpdate();
      }
    }
  }

  private static void insert(Connection connection, Iterable<AlertEvent> events)
      throws SQLException {
    try (PreparedStatement event = connection.prepareStatement(INSERT_EVENT);
        PreparedStatement alert = connection.prepareStatement(INSERT_ALERT)) {
      for (AlertEvent e : events) {
        AlertRow.bind(event, e.alert(), e.id(), e.change().word(), e.alert().id());
        if (event.executeUpdate() > 0) {
          AlertRow.bind(alert, e.alert(), e.alert().id(), e.stands());
          alert.executeUpdate();
        }
      }
    }
  }

  /** Replaces all events of a pack's imported readings, in one transaction, as delivered ones. */
  synchronized void replaceJudged(String pack, List<AlertEvent> events) throws StorageFailure {
    String ids = judgedIds(pack);
    List<String> delivered = events.stream().map(AlertEvent::id).toList();
    database.change(
        c -> {
          Database.update(c, "DELETE FROM event WHERE pack = ? AND alert_id LIKE ?", pack, ids);
          Database.update(c, "DELETE FROM alert WHERE pack = ? AND id LIKE ?", pack, ids);
          insert(c, events);
          return markDelivered(c, delivered);
        });
  }

  private static String judgedIds(String pack) {
    return pack + ".%" + AlertEvent.JUDGED_MARK + "%";
  }

  /** True when there are events of a pack's imported readings. */
  boolean hasJudged(String pack) throws StorageFailure {
    String sql = "SELECT count(*) FROM event WHERE pack = ? AND alert_id LIKE ?";
    return database.read(c -> Database.number(c, sql, pack, judgedIds(pack)).orElse(0) > 0);
  }

  @Override
  public synchronized List<Alert> standing() throws StorageFailure {
    Map<String, Alert> standing = new LinkedHashMap<>();
    for (Alert alert : storedStanding()) {
      standing.put(alert.id(), alert);
    }
    for (AlertEvent event : unstored.values()) {
      standing.remove(event.alert().id());
      if (event.stands()) {
        standing.put(event.alert().id(), event.alert());
      }
    }
    restated.forEach(standing::replace);
    return List.copyOf(standing.values());
  }

  private List<Alert> storedStanding() throws StorageFailure {
    String sql =
        "SELECT id, " + AlertRow.COLUMNS + " FROM alert WHERE stands = 1 ORDER BY since_ms, id";
    return database.read(
        c -> known(Database.rows(c, sql, row -> AlertRow.of(row.getString(1), row, 2))));
  }

  /** Without the rows of a newer version, whose words this one does not know. */
  private static <T> List<T> known(List<Optional<T>> rows) {
    return rows.stream().flatMap(Optional::stream).toList();
  }

  @Override
  public synchronized List<AlertEvent> waiting(int most) throws StorageFailure {
    List<AlertEvent> events = new ArrayList<>(storedWaiting(most + deliveredUnstored.size()));
    events.removeIf(event -> deliveredUnstored.contains(event.id()));
    for (AlertEvent event : unstored.values()) {
      if (!deliveredUnstored.contains(event.id())) {
        events.add(event);
      }
    }
    return List.copyOf(events.subList(0, Math.min(most, events.size())));
  }

  private List<AlertEvent> storedWaiting(int most) throws StorageFailure {
    return eventsWhere("delivered = 0 ORDER BY seq LIMIT ?", most).stream()
        .map(StoredEvent::event)
        .toList();
  }

  /** Events of a pack with {@code fromMs <= time < toMs} in the order in which they happened. */
  List<StoredEvent> events(String pack, long fromMs, long toMs) throws StorageFailure {
    String which = "pack = ? AND time_ms >= ? AND time_ms < ? ORDER BY seq";
    return eventsWhere(which, pack, fromMs, toMs);
  }

  /** Those of every pack and of the program itself, in the order of their times. */
  List<StoredEvent> events(long fromMs, long toMs) throws StorageFailure {
    return eventsWhere("time_ms >= ? AND time_ms < ? ORDER BY time_ms, seq", fromMs, toMs);
  }

  private List<StoredEvent> eventsWhere(String which, Object... values) throws StorageFailure {
    String sql =
        "SELECT id, change, delivered, alert_id, %s FROM event WHERE %s"
            .formatted(AlertRow.COLUMNS, which);
    return database.read(c -> known(Database.rows(c, sql, LogAlerts::event, values)));
  }

  private static Optional<StoredEvent> event(ResultSet row) throws SQLException {
    String id = row.getString(1);
    AlertEvent.Change change = change(row.getString(2));
    boolean delivered = row.getInt(3) != 0;
    return AlertRow.of(row.getString(4), row, 5)
        .map(alert -> new StoredEvent(new AlertEvent(id, change, alert), delivered));
  }

  private static AlertEvent.Change change(String word) {
    return Worded.find(AlertEvent.Change.values(), word).orElse(AlertEvent.Change.NOTICE);
  }

  @Override
  public synchronized int waitingCount() throws StorageFailure {
    long waiting = unstored.keySet().stream().filter(id -> !deliveredUnstored.contains(id)).count();
    return (int) (waiting + database.read(this::storedWaitingCount));
  }

  /**
   * Undelivered events of the file, without those that the broker has and the file does not know.
   */
  private long storedWaitingCount(Connection connection) throws SQLException {
    long count =
        Database.number(connection, "SELECT count(*) FROM event WHERE delivered = 0").orElse(0);
    for (String id : deliveredUnstored) {
      count -=
          Database.number(
                  connection, "SELECT count(*) FROM event WHERE delivered = 0 AND id = ?", id)
              .orElse(0);
    }
    return count;
  }

  @Override
  public synchronized void delivered(List<String> eventIds) throws StorageFailure {
    deliveredUnstored.addAll(eventIds);
    retry();
  }

  /** Marks events as delivered and returns the ids that are in the file. */
  private static Set<String> markDelivered(Connection connection, Iterable<String> ids)
      throws SQLException {
    String sql = "UPDATE event SET delivered = 1 WHERE id = ?";
    Set<String> marked = new LinkedHashSet<>();
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      for (String id : ids) {
        statement.setString(1, id);
        if (statement.executeUpdate() > 0) {
          marked.add(id);
        }
      }
    }
    return marked;
  }
}
