package org.cellherd.analysis.plausible;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * Values that nothing else confirmed, the latest of each kind: doubted from the moment they are
 * read until an hour after. Three of a kind in an hour are no accident any more.
 */
public final class LoneValues {
  private static final long KEPT_MS = 3_600_000;
  private static final int OFTEN = 3;

  private final Map<Kind, Lone> latest = new EnumMap<>(Kind.class);

  private record Lone(Channel channel, long value, long timeMs, long times) {
    private static final Lone NONE = new Lone(Channel.cell(1), 0, 0, 0);

    private Lone state(State io) {
      Channel saved = new Channel(io.constant(channel.kind()), io.number(channel.number()));
      return new Lone(saved, io.number(value), io.number(timeMs), io.number(times));
    }
  }

  void held(Channel channel, long value, long timeMs) {
    Lone before = latest.get(channel.kind());
    boolean isNear = before != null && timeMs - before.timeMs() <= KEPT_MS;
    latest.put(
        channel.kind(),
        new Lone(channel, value, timeMs, before != null && isNear ? before.times() + 1 : 1));
  }

  /** It is there again: other checks judge what stays, but of the board's own count none does. */
  void confirmed(Channel channel) {
    Lone known = latest.get(channel.kind());
    boolean isJudged = channel.kind() != Kind.SOC;
    if (isJudged && known != null && known.channel().equals(channel)) {
      latest.remove(channel.kind());
    }
  }

  /**
   * What is in doubt.
   *
   * @param nowMs time of the latest entry, ms UTC
   */
  public List<Suspicion> suspicions(long nowMs) {
    List<Suspicion> found = new ArrayList<>();
    for (Lone lone : latest.values()) {
      if (nowMs - lone.timeMs() <= KEPT_MS) {
        found.add(suspicion(lone));
      }
    }
    return found;
  }

  private static Suspicion suspicion(Lone lone) {
    Channel channel = lone.channel();
    boolean isSensor = channel.kind() == Kind.TEMPERATURE;
    boolean isOften = lone.times() >= OFTEN;
    Facts.Builder facts =
        Facts.of()
            .put("channel", channel.columnName())
            .put("reads", spoken(channel.kind(), lone.value()))
            .put("times", lone.times());
    if (isSensor) {
      facts.put("sensor", channel.number());
    }
    return new Suspicion(
        !isOften
            ? Suspicion.Kind.LONE_VALUE
            : isSensor ? Suspicion.Kind.THERMISTOR_JUMP : Suspicion.Kind.FLICKERING_VALUE,
        channel.kind() == Kind.CELL ? List.of(channel.number()) : List.of(),
        lone.timeMs(),
        words(channel, lone.value())
            + (isOften
                ? " for a moment, one of " + lone.times() + " such values within an hour"
                : " in one reading, and nothing else agreed"),
        isSensor
            ? "the plug and wire of temperature sensor " + channel.number()
            : "the sense wires and the line to the board",
        facts.build());
  }

  /** What a channel read, such as "cell 3 read 0.000 V". */
  public static String words(Channel channel, long value) {
    return name(channel) + " read " + spoken(channel.kind(), value);
  }

  private static String name(Channel channel) {
    return switch (channel.kind()) {
      case CELL -> "cell " + channel.number();
      case TEMPERATURE -> "temperature sensor " + channel.number();
      case CURRENT -> "the current";
      case PACK_VOLTAGE -> "the pack voltage";
      default -> "the board's state of charge";
    };
  }

  private static String spoken(Kind kind, long value) {
    return switch (kind) {
      case CELL -> Spoken.volts(value / 10.0);
      case TEMPERATURE -> Spoken.celsius(value / 10.0);
      case CURRENT -> Spoken.amps(value / 1000.0);
      case PACK_VOLTAGE -> Spoken.packVolts((double) value);
      default -> Spoken.number(value / 10.0, 0) + " %";
    };
  }

  void state(State io) {
    List<Lone> all = new ArrayList<>(latest.values());
    io.list(all, Kind.values().length, Lone.NONE, Lone::state);
    all.forEach(lone -> latest.put(lone.channel().kind(), lone));
  }
}
