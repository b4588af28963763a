package org.cellherd.analysis.plausible;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Possible;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/**
 * Temperature sensors that are open (they read their floor), shorted (their ceiling), jump further
 * than a cell's heat capacity allows, or stay to the last digit for a day while others move by 3 K
 * (levels: common practice, no source; the jump of 15 K between readings would take 80 kJ in a 5.5
 * kg cell).
 */
final class ThermistorCheck implements Check {
  private static final int FLOOR = -400;
  private static final int MOVED = 30;
  private static final long DAY_MS = 86_400_000;
  private static final long JUMP_KEPT_MS = 3_600_000;
  private static final long MOST_STEP_MS = 60_000;
  private static final int NONE = Integer.MIN_VALUE;

  private final PackPlan plan;
  private final int[] before = new int[Channel.MAX_NUMBER];
  private final long[] changeUpMs = new long[Channel.MAX_NUMBER];
  private final int[] lowestSince = new int[Channel.MAX_NUMBER];
  private final int[] highestSince = new int[Channel.MAX_NUMBER];
  private final long[] jumpUpMs = new long[Channel.MAX_NUMBER];
  private final long[] badUpMs = new long[Channel.MAX_NUMBER];
  private int sensors;

  ThermistorCheck(PackPlan plan) {
    this.plan = plan;
    Arrays.fill(before, NONE);
    Arrays.fill(jumpUpMs, -1);
    Arrays.fill(badUpMs, -1);
  }

  @Override
  public void accept(Moment m, Reading reading) {
    Temperatures t = reading.temperatures();
    sensors = Math.max(sensors, t.count());
    boolean isMoved = false;
    for (int s = 1; s <= t.count(); s++) {
      if (t.has(s) && t.tenthC(s) != before[s - 1]) {
        change(m, s - 1, t.tenthC(s));
        isMoved = true;
      }
    }
    for (int i = 0; isMoved && i < t.count(); i++) {
      widen(t, i);
    }
  }

  private void change(Moment m, int i, int now) {
    boolean isClose = m.isJoined() && m.stepMs() <= MOST_STEP_MS && before[i] != NONE;
    boolean isSane = isSane(now) && isSane(before[i]);
    if (isClose && isSane && Math.abs(now - before[i]) > Leap.TENTH_C) {
      jumpUpMs[i] = m.upMs();
    }
    badUpMs[i] = isSane(now) ? -1 : badUpMs[i] < 0 ? m.upMs() : badUpMs[i];
    before[i] = now;
    changeUpMs[i] = m.upMs();
    lowestSince[i] = Integer.MAX_VALUE;
    highestSince[i] = Integer.MIN_VALUE;
  }

  private static boolean isSane(int tenthC) {
    return Possible.is(Kind.TEMPERATURE, tenthC);
  }

  /** How far the other sensors have moved while this one stayed. */
  private void widen(Temperatures t, int stayed) {
    for (int s = 1; s <= t.count(); s++) {
      if (s - 1 != stayed && t.has(s) && isSane(t.tenthC(s))) {
        lowestSince[stayed] = Math.min(lowestSince[stayed], t.tenthC(s));
        highestSince[stayed] = Math.max(highestSince[stayed], t.tenthC(s));
        return;
      }
    }
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    for (int i = 0; i < sensors; i++) {
      if (plan.role(i + 1) == SensorRole.UNUSED || before[i] == NONE) {
        continue;
      }
      if (badUpMs[i] >= 0) {
        boolean isOpen = before[i] <= FLOOR;
        return Optional.of(
            of(
                m,
                i,
                badUpMs[i],
                isOpen ? Suspicion.Kind.THERMISTOR_OPEN : Suspicion.Kind.THERMISTOR_SHORT,
                isOpen ? "is open" : "is shorted"));
      }
      if (jumpUpMs[i] >= 0 && m.upMs() - jumpUpMs[i] <= JUMP_KEPT_MS) {
        return Optional.of(
            of(m, i, jumpUpMs[i], Suspicion.Kind.THERMISTOR_JUMP, "jumps further than a cell can"));
      }
      boolean isStuck =
          m.upMs() - changeUpMs[i] >= DAY_MS && highestSince[i] - lowestSince[i] > MOVED;
      if (isStuck && highestSince[i] != Integer.MIN_VALUE) {
        return Optional.of(
            of(m, i, changeUpMs[i], Suspicion.Kind.THERMISTOR_STUCK, "has not moved for a day"));
      }
    }
    return Optional.empty();
  }

  private Suspicion of(Moment m, int i, long sinceUpMs, Suspicion.Kind kind, String what) {
    return new Suspicion(
        kind,
        List.of(),
        m.wallMs(sinceUpMs),
        "temperature sensor " + (i + 1) + " " + what,
        "the plug and wire of temperature sensor " + (i + 1),
        Facts.of().put("sensor", i + 1).put("reads_c", before[i] / 10.0, 1).build());
  }

  @Override
  public void state(State io) {
    sensors = io.within(sensors, 0, Channel.MAX_NUMBER);
    for (int i = 0; i < sensors; i++) {
      before[i] = io.number(before[i]);
      changeUpMs[i] = io.number(changeUpMs[i]);
      lowestSince[i] = io.number(lowestSince[i]);
      highestSince[i] = io.number(highestSince[i]);
      jumpUpMs[i] = io.number(jumpUpMs[i]);
      badUpMs[i] = io.number(badUpMs[i]);
    }
  }
}
