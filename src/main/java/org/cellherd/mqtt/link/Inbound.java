package org.cellherd.mqtt.link;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;
import java.util.Optional;
import org.cellherd.mqtt.link.Received.Payload;

/** Messages that came in and wait to be looked at: few, and little memory. Any thread. */
final class Inbound {

  /** Longest message that is looked at, bytes. */
  public static final int LONGEST = 65_536;

  private static final char REPLACEMENT = '\uFFFD';

  private final int most;
  private final int mostCharacters;

  private final Deque<Received> waiting = new ArrayDeque<>();
  private int characters;
  private long dropped;

  /** Takes so many at most, and a sixteenth of the characters that so many could have. */
  Inbound(int most) {
    this.most = most;
    this.mostCharacters = most * (LONGEST / 16);
  }

  synchronized void put(String topic, byte[] payload, boolean isRetained) {
    boolean isShort = payload.length <= LONGEST;
    String text = isShort ? new String(payload, StandardCharsets.UTF_8) : "";
    if (waiting.size() >= most || characters + text.length() > mostCharacters) {
      dropped++;
    } else {
      characters += text.length();
      Payload kind = isShort ? kind(payload, text) : Payload.TOO_LONG;
      waiting.addLast(new Received(topic, text, isRetained, kind));
    }
  }

  /** Whatever is no UTF-8 was replaced, and does not come out again as it went in. */
  private static Payload kind(byte[] payload, String text) {
    boolean isSame =
        text.indexOf(REPLACEMENT) < 0
            || Arrays.equals(text.getBytes(StandardCharsets.UTF_8), payload);
    return isSame ? Payload.TEXT : Payload.NO_TEXT;
  }

  synchronized Optional<Received> next() {
    Optional<Received> next = Optional.ofNullable(waiting.pollFirst());
    next.ifPresent(message -> characters -= message.text().length());
    return next;
  }

  /** How many were dropped since this was last asked, because too many waited. */
  synchronized long takeDropped() {
    long count = dropped;
    dropped = 0;
    return count;
  }
}
