package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.mqtt.trial.TopicListener;

/** The second client's side: prints every event that the broker delivers, counts the rest. */
final class MessageTally implements TopicListener.Ear {

  private final PrintWriter out;
  private final LocalClock clock;
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition came = lock.newCondition();
  private final List<String> eventIds = new ArrayList<>();
  private final List<String> lines = new ArrayList<>();
  private int messages;

  MessageTally(PrintWriter out, LocalClock clock) {
    this.out = out;
    this.clock = clock;
  }

  @Override
  public void message(String topic, String payload, boolean retained) {
    lock.lock();
    try {
      messages++;
      if (topic.endsWith("/event")) {
        event(topic, payload);
      }
      came.signalAll();
    } finally {
      lock.unlock();
    }
  }

  private void event(String topic, String payload) {
    try {
      if (new JsonReader(JsonReader.Limits.MESSAGE).read(payload)
          instanceof JsonValue.JsonObject event) {
        eventIds.add(event.text("event").orElse(""));
        String line =
            clock.at(event.text("time").map(t -> IsoTime.ms(t).orElse(0)).orElse(0L))
                + "  MQTT "
                + topic
                + "  "
                + event.text("priority").orElse("?")
                + " "
                + event.text("rule").orElse("?")
                + " "
                + event.text("change").orElse("?")
                + ": "
                + event.text("text").orElse("");
        lines.add(line);
        out.println(line);
        out.flush();
      }
    } catch (JsonReader.Problem notOurs) {
      out.println("      MQTT " + topic + "  no JSON: " + notOurs.getMessage());
    }
  }

  /** Waits a little until the broker has delivered an event, so that the story reads in order. */
  void await(String eventId) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      long left = TimeUnit.SECONDS.toNanos(2);
      while (!eventIds.contains(eventId) && left > 0) {
        left = came.awaitNanos(left);
      }
    } finally {
      lock.unlock();
    }
  }

  int messages() {
    lock.lock();
    try {
      return messages;
    } finally {
      lock.unlock();
    }
  }

  int events() {
    lock.lock();
    try {
      return eventIds.size();
    } finally {
      lock.unlock();
    }
  }
}
