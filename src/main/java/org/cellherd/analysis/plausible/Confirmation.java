package org.cellherd.analysis.plausible;

import java.util.Arrays;
import java.util.BitSet;
import java.util.EnumSet;
import java.util.List;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.stream.IntStream;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Possible;
import org.cellherd.analysis.state.ReadingState;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/**
 * What the analyses see of the log: a value that no sensor can read, or that leapt alone, is held
 * back until the next reading, and the value before stands in for it. What the next reading still
 * shows is taken as it is, so that a fault that stays comes one reading later and no glitch comes
 * at all. Limits are judged by the raw reading and wait for nothing. Belongs to one thread.
 */
public final class Confirmation {
  /** Readings further apart say nothing of each other. */
  private static final long MOST_STEP_MS = 120_000;

  private static final Set<Kind> ODD = EnumSet.of(Kind.CURRENT, Kind.PACK_VOLTAGE, Kind.SOC);

  private static final List<Channel> UNNUMBERED =
      Arrays.stream(Kind.values()).filter(k -> !k.isNumbered()).map(Channel::of).toList();

  /** Where of these a value can be odd: masks, switches and the board's own count move at will. */
  private static final int[] JUDGED =
      IntStream.range(0, UNNUMBERED.size())
          .filter(i -> ODD.contains(UNNUMBERED.get(i).kind()))
          .toArray();

  private static final List<Channel> CELLS = numbered(Kind.CELL);
  private static final List<Channel> TEMPERATURES = numbered(Kind.TEMPERATURE);
  private static final int SENSORS = 100;
  private static final int PLAIN = 200;

  private final Leap leap;
  private final LoneValues lone;
  private final BitSet held = new BitSet();
  private final BitSet wereHeld = new BitSet();
  private final BitSet shownAgain = new BitSet();
  private final int[] cells;
  private final int[] cellsBefore;
  private @Nullable Reading before;

  private static List<Channel> numbered(Kind kind) {
    return IntStream.rangeClosed(1, Channel.MAX_NUMBER)
        .mapToObj(number -> new Channel(kind, number))
        .toList();
  }

  public Confirmation(PackPlan plan) {
    leap = new Leap(plan);
    cells = new int[plan.series()];
    cellsBefore = new int[plan.series()];
    lone = new LoneValues();
  }

  /** The values that came once and went. */
  public LoneValues lone() {
    return lone;
  }

  /** The channels of the latest reading whose values nothing confirmed yet. */
  public List<Channel> held() {
    return held.isEmpty() ? List.of() : held.stream().mapToObj(Confirmation::channel).toList();
  }

  /** True when the latest reading showed again what was held in the one before. */
  public boolean isShownAgain(Channel channel) {
    return shownAgain.stream().anyMatch(at -> channel(at).equals(channel));
  }

  private static Channel channel(int at) {
    return at > PLAIN - 1
        ? UNNUMBERED.get(at - PLAIN)
        : at > SENSORS ? TEMPERATURES.get(at - SENSORS - 1) : CELLS.get(at - 1);
  }

  /** The entry as the analyses may see it. */
  public LogEntry accept(LogEntry entry) {
    if (entry instanceof Reading reading) {
      return accept(reading);
    }
    before = null;
    held.clear();
    shownAgain.clear();
    return entry;
  }

  private Reading accept(Reading now) {
    Reading was = before;
    long stepMs = was == null ? 0 : now.timeMs() - was.timeMs();
    Reading joined = stepMs > 0 && stepMs <= MOST_STEP_MS ? was : null;
    wereHeld.clear();
    wereHeld.or(held);
    held.clear();
    shownAgain.clear();
    now.cells().copyTo(cells);
    (joined == null ? CellVoltages.NONE : joined.cells()).copyTo(cellsBefore);
    for (int i = 0; i < cells.length; i++) {
      if (cells[i] != Moment.MISSING && !isCalm(cells[i], cellsBefore[i])) {
        look(CELLS.get(i), i + 1, joined, now);
      }
    }
    Temperatures warm = joined == null ? Temperatures.NONE : joined.temperatures();
    for (int sensor = 1; sensor <= now.temperatures().count(); sensor++) {
      if (!isCalm(sensor, warm, now.temperatures())) {
        look(TEMPERATURES.get(sensor - 1), SENSORS + sensor, joined, now);
      }
    }
    for (int i : JUDGED) {
      if (!isCalm(UNNUMBERED.get(i).kind(), joined, now)) {
        look(UNNUMBERED.get(i), PLAIN + i, joined, now);
      }
    }
    Reading seen = held.isEmpty() ? now : withoutHeld(now, joined);
    before = seen;
    return seen;
  }

  /** What nearly all cells of nearly all readings are, told without a channel at hand. */
  private static boolean isCalm(int cell, int before) {
    return Possible.isCell(cell)
        && (before == Moment.MISSING || Math.abs((long) cell - before) <= Leap.CELL);
  }

  private static boolean isCalm(int sensor, Temperatures were, Temperatures are) {
    if (!are.has(sensor)) {
      return true;
    }
    int value = are.tenthC(sensor);
    return Possible.is(Kind.TEMPERATURE, value)
        && (!were.has(sensor) || Math.abs((long) value - were.tenthC(sensor)) <= Leap.TENTH_C);
  }

  private boolean isCalm(Kind kind, @Nullable Reading were, Reading are) {
    OptionalInt value = odd(kind, are);
    if (value.isEmpty()) {
      return true;
    }
    OptionalInt before = were == null ? OptionalInt.empty() : odd(kind, were);
    return Possible.is(kind, value.getAsInt())
        && (before.isEmpty()
            || Math.abs((long) value.getAsInt() - before.getAsInt()) <= leap.least(kind));
  }

  private static OptionalInt odd(Kind kind, Reading of) {
    return kind == Kind.CURRENT
        ? of.currentMa()
        : kind == Kind.PACK_VOLTAGE ? of.packMv() : of.socTenthPct();
  }

  private void look(Channel channel, int at, @Nullable Reading joined, Reading now) {
    if (!now.has(channel)) {
      return;
    }
    long value = now.stored(channel);
    boolean isNew = !Possible.is(channel.kind(), value) && isPossible(channel, joined);
    boolean isOdd = isNew || (joined != null && leap.isAlone(channel, joined, now));
    if (isOdd && !wereHeld.get(at)) {
      held.set(at);
      lone.held(channel, value, now.timeMs());
    } else if (isOdd) {
      shownAgain.set(at);
      lone.confirmed(channel);
    }
  }

  private static boolean isPossible(Channel channel, @Nullable Reading reading) {
    return reading == null
        || !reading.has(channel)
        || Possible.is(channel.kind(), reading.stored(channel));
  }

  /** The reading with the values before in place of what is held; missing where there are none. */
  private Reading withoutHeld(Reading now, @Nullable Reading joined) {
    Reading.Builder b = Reading.at(now.timeMs());
    b.cells(CellVoltages.ofOptional(numbered(Kind.CELL, 0, now.cells().count(), now, joined)));
    b.temperatures(
        Temperatures.ofOptional(
            numbered(Kind.TEMPERATURE, SENSORS, now.temperatures().count(), now, joined)));
    for (int i = 0; i < UNNUMBERED.size(); i++) {
      Kind kind = UNNUMBERED.get(i).kind();
      seen(UNNUMBERED.get(i), PLAIN + i, now, joined).ifPresent(v -> b.value(kind, v));
    }
    return b.build();
  }

  private OptionalInt[] numbered(
      Kind kind, int from, int count, Reading now, @Nullable Reading joined) {
    OptionalInt[] values = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      OptionalLong value = seen(new Channel(kind, i + 1), from + i + 1, now, joined);
      values[i] = value.isPresent() ? OptionalInt.of((int) value.getAsLong()) : OptionalInt.empty();
    }
    return values;
  }

  private OptionalLong seen(Channel channel, int at, Reading now, @Nullable Reading joined) {
    if (!held.get(at)) {
      return now.value(channel);
    }
    return joined == null ? OptionalLong.empty() : joined.value(channel);
  }

  public void state(State io) {
    io.section("confirmation", 1);
    before = ReadingState.of(before, io);
    BitSet saved = BitSet.valueOf(io.bytes(held.toByteArray()));
    held.clear();
    held.or(saved);
    lone.state(io);
  }
}
