package org.cellherd.mqtt.link;

import java.util.Iterator;
import java.util.LinkedHashSet;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.cellherd.pack.TimeSource;

/**
 * What was sent to the broker and has no answer yet. A broker answers in the order in which it got
 * the messages (MQTT 3.1.1, 4.6), so the oldest tells how far it is behind. BrokerClient's thread;
 * only {@link #answered} may come from any.
 */
final class Unanswered {

  /** One of them; {@code what} is in the words of a person, such as "a message to a/b". */
  static final class Request {
    private final String what;
    private final boolean isMessage;
    private final long sentNanos;

    private Request(String what, boolean isMessage, long sentNanos) {
      this.what = what;
      this.isMessage = isMessage;
      this.sentNanos = sentNanos;
    }
  }

  private record Answer(Request request, Object receipt) {}

  private final TimeSource time;
  private final Set<Request> waiting = new LinkedHashSet<>();
  private final Queue<Answer> answers = new ConcurrentLinkedQueue<>();
  private boolean isAnswered;
  private boolean isAcknowledged;

  Unanswered(TimeSource time) {
    this.time = time;
  }

  /** A request to subscribe or the like. */
  Request sent(String what) {
    return sent(new Request(what, false, time.monotonicNanos()));
  }

  /** A message, which the broker takes upon itself by acknowledging it. */
  Request sentMessage(String topic) {
    return sent(new Request("a message to " + topic, true, time.monotonicNanos()));
  }

  private Request sent(Request request) {
    waiting.add(request);
    return request;
  }

  /** It could not be sent. */
  void notSent(Request request) {
    waiting.remove(request);
  }

  /** The broker has answered; the receipt may depend on what it said. */
  void answered(Request request, Object receipt) {
    answers.add(new Answer(request, receipt));
  }

  /** The receipt of the next answer. */
  Optional<Object> next() {
    Answer answer = answers.poll();
    if (answer == null) {
      return Optional.empty();
    }
    isAnswered = true;
    isAcknowledged |= answer.request().isMessage;
    waiting.remove(answer.request());
    return Optional.of(answer.receipt());
  }

  /**
   * True once the broker has answered, and more than a subscription where it got more: only then
   * does it work.
   */
  boolean isAnswered() {
    return isAcknowledged || (isAnswered && waiting.stream().noneMatch(r -> r.isMessage));
  }

  /** How long the oldest has waited, ns; empty when nothing waits. */
  OptionalLong oldestNanos() {
    Iterator<Request> oldest = waiting.iterator();
    return oldest.hasNext()
        ? OptionalLong.of(time.monotonicNanos() - oldest.next().sentNanos)
        : OptionalLong.empty();
  }

  /** What has waited longest. */
  Optional<String> oldest() {
    Iterator<Request> oldest = waiting.iterator();
    return oldest.hasNext() ? Optional.of(oldest.next().what) : Optional.empty();
  }
}
