package org.cellherd.analysis;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;

/** A seeded log in which everything happens: charge, trips, gaps, restarts, clock steps, loads. */
public final class MadeLog {
  public static final long START = 1_767_225_600_000L;

  private final Random random;
  private final List<LogEntry> entries = new ArrayList<>();
  private final int cells;
  private final double[] charge;
  private long now = START;
  private long session;

  private MadeLog(long seed, int cells) {
    this.random = new Random(seed);
    this.cells = cells;
    this.charge = new double[cells];
    for (int i = 0; i < cells; i++) {
      charge[i] = 0.9 + 0.02 * random.nextDouble();
    }
  }

  public static PackPlan plan(int cells) {
    return PackPlan.of("made", Chemistry.LFP, cells, 1, 20_000);
  }

  /** So many entries; the same for the same seed. */
  public static List<LogEntry> entries(long seed, int cells, int count) {
    MadeLog log = new MadeLog(seed, cells);
    log.entries.add(new SessionStart(log.now, log.session, true, true));
    while (log.entries.size() < count) {
      log.stretch();
    }
    return List.copyOf(log.entries.subList(0, count));
  }

  private void stretch() {
    int amperes = new int[] {5, 5, 0, -4, 1, 0}[random.nextInt(6)];
    int length = 100 + random.nextInt(900);
    for (int i = 0; i < length; i++) {
      now += 1000;
      entries.add(reading(amperes));
    }
    switch (random.nextInt(5)) {
      case 0 -> gap();
      case 1 -> restart();
      case 2 -> step();
      default -> {}
    }
  }

  private void gap() {
    long from = now;
    now += 5_000 + random.nextInt(600_000);
    entries.add(new Gap(from, now, Gap.Cause.NO_BYTES));
  }

  private void restart() {
    now += 30_000;
    entries.add(new SessionStart(now, ++session, random.nextBoolean(), random.nextBoolean()));
  }

  private void step() {
    long to = now + random.nextInt(100_000) - 50_000;
    entries.add(new ClockStep(now, to));
    now = to;
  }

  private Reading reading(int amperes) {
    int[] volts = new int[cells];
    int sum = 0;
    for (int i = 0; i < cells; i++) {
      charge[i] = Math.max(0, Math.min(1.002, charge[i] + amperes / 3600.0 / 20));
      double knee = 300 * Math.exp((charge[i] - 1.002) * 90);
      double v = 3330 + 30 * charge[i] + knee + amperes * 3 + random.nextGaussian() * 0.5;
      volts[i] = (int) Math.round(v) * 10;
      sum += volts[i] / 10;
    }
    return Reading.at(now)
        .cells(CellVoltages.ofTenthMv(volts))
        .currentMa(amperes * 1000 + (amperes == 0 ? 0 : random.nextInt(20)))
        .packMv(sum)
        .chargeSwitch(volts[0] < 36500)
        .bleedMask(volts[0] > 34500 ? 1 : 0)
        .temperatures(Temperatures.ofTenthC(200 + random.nextInt(3), 210))
        .build();
  }
}
