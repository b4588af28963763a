package org.cellherd.alert;

import java.util.List;
import org.cellherd.pack.StorageFailure;

/** Where alerts last: the store implements it. Calls return after the commit is durable. */
public interface AlertLog {

  /** Keeps the alerts as they now stand and puts the events into the outbox. */
  void commit(List<AlertEvent> events) throws StorageFailure;

  /** Keeps what active alerts say now, in place of what they said; nothing happened to them. */
  void restate(List<Alert> active) throws StorageFailure;

  /** All alerts that are not over, as last committed; also those that are pending nowhere. */
  List<Alert> standing() throws StorageFailure;

  /** Events that no broker has acknowledged, oldest first, at most {@code most}. */
  List<AlertEvent> waiting(int most) throws StorageFailure;

  /** How many events wait. */
  int waitingCount() throws StorageFailure;

  /** The broker has these; they leave the outbox but stay in the log. */
  void delivered(List<String> eventIds) throws StorageFailure;
}
