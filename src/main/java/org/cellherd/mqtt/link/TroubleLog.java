package org.cellherd.mqtt.link;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.TimeSource;

/**
 * Logs each different trouble when it comes, and again not before an hour has passed, with its
 * count: whatever a broker does, it costs a handful of lines an hour. One thread.
 */
final class TroubleLog {

  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");
  private static final long AGAIN_NANOS = TimeUnit.HOURS.toNanos(1);

  /** A broker may drop a connection for reasons of its own; a rival takes every one. */
  private static final int SUSPICIOUS = 3;

  private static final String HELD_BACK =
      "; it happened before, so \"connected\" is reported once it has held for 5 min";

  /** Kinds that are told apart; further ones are counted with the oldest forgotten. */
  private static final int MOST_KINDS = 16;

  private final LinkSettings settings;
  private final TimeSource time;
  private final Map<String, Told> troubles = new LinkedHashMap<>();
  private boolean toldLast = true;
  private boolean isFlapping;
  private boolean toldRival;
  private int failures;
  private int losses;

  private static final class Told {
    private final long nanos;
    private int since;

    Told(long nanos) {
      this.nanos = nanos;
    }
  }

  TroubleLog(LinkSettings settings, TimeSource time) {
    this.settings = settings;
    this.time = time;
  }

  /**
   * An attempt failed, or what worked was lost.
   *
   * @param worked true when it is a loss
   * @param isListening asked only before a rival is suspected: true when the broker takes
   *     connections right after it closed ours. One that was stopped, even to be started anew, does
   *     not.
   */
  void trouble(BrokerTrouble trouble, boolean worked, BooleanSupplier isListening) {
    String text = trouble.getMessage();
    long now = time.monotonicNanos();
    failures++;
    Told told = troubles.get(text);
    boolean isNews = told == null || now - told.nanos >= AGAIN_NANOS;
    // The last line must not say that all is well.
    if (told == null || isNews || !toldLast) {
      isFlapping = !isNews;
      int unsaid = told == null ? 0 : told.since;
      String count =
          unsaid == 0 ? "" : " (and " + Spoken.counted(unsaid, "time") + " in the hour before)";
      LOG.log(
          System.Logger.Level.WARNING,
          text + "; trying again" + count + (isFlapping ? HELD_BACK : ""));
      troubles.remove(text);
      troubles.put(text, new Told(now));
      toldLast = true;
      if (troubles.size() > MOST_KINDS) {
        troubles.remove(troubles.keySet().iterator().next());
      }
    } else {
      told.since++;
    }
    losses = worked && trouble.isClosing() ? losses + 1 : 0;
    if (losses >= SUSPICIOUS && !toldRival) {
      if (!isListening.getAsBoolean()) {
        losses = 0;
        return;
      }
      toldRival = true;
      LOG.log(System.Logger.Level.WARNING, rival());
    }
  }

  private String rival() {
    return "broker "
        + settings.url()
        + " closes every connection soon after it lets us in: most likely another computer uses"
        + " client_id '"
        + settings.clientId()
        + "', such as one with a copy of this log. Give one of them a client_id of its own in"
        + " [mqtt]; if there is no other, see the broker's log and its access rules";
  }

  /** The broker works. Said when a trouble was, and that is not one that comes again and again. */
  void connected() {
    if (!isFlapping) {
      tellConnected("");
    }
  }

  /** The connection has held for long: what comes next is news. */
  void steady() {
    losses = 0;
    toldRival = false;
    isFlapping = false;
    tellConnected(" for 5 min");
  }

  private void tellConnected(String since) {
    if (toldLast) {
      String before = failures == 0 ? "" : ", after failed attempts: " + failures;
      LOG.log(System.Logger.Level.INFO, "connected to broker " + settings.url() + since + before);
    }
    toldLast = false;
    failures = 0;
  }
}
