package org.cellherd.sim;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.pack.CellLimits;
import org.cellherd.sim.Exceedance.Level;

/** Notes when true cell voltages really were beyond the plan's limits. */
final class LimitWatch {

  /** Two times beyond a limit less than this apart are one, ms. */
  private static final long JOIN_MS = 60_000;

  private final CellLimits limits;
  private final Map<Level, Map<Integer, Integer>> open = new EnumMap<>(Level.class);
  private final List<Exceedance> found = new ArrayList<>();

  LimitWatch(CellLimits limits) {
    this.limits = limits;
  }

  void look(SimPack pack, long timeMs) {
    double warnLow = limits.warnLowMv() / 1000.0;
    double warnHigh = limits.warnHighMv() / 1000.0;
    for (int cell = 1; cell <= pack.count(); cell++) {
      double volts = pack.cell(cell).terminalV();
      if (volts >= warnHigh || volts <= warnLow) {
        note(cell, volts, timeMs);
      }
    }
  }

  private void note(int cell, double volts, long timeMs) {
    if (volts >= limits.warnHighMv() / 1000.0) {
      extend(Level.HIGH, cell, volts, timeMs);
      if (volts > limits.cutOffHighMv() / 1000.0) {
        extend(Level.OVER, cell, volts, timeMs);
      }
    } else {
      extend(Level.LOW, cell, volts, timeMs);
      if (volts < limits.cutOffLowMv() / 1000.0) {
        extend(Level.UNDER, cell, volts, timeMs);
      }
    }
  }

  private void extend(Level level, int cell, double volts, long timeMs) {
    Map<Integer, Integer> byCell = open.computeIfAbsent(level, key -> new HashMap<>());
    int index = byCell.getOrDefault(cell, -1);
    if (index < 0 || timeMs - found.get(index).toMs() > JOIN_MS) {
      byCell.put(cell, found.size());
      found.add(new Exceedance(cell, level, timeMs, timeMs, volts));
      return;
    }
    Exceedance before = found.get(index);
    boolean high = level == Level.HIGH || level == Level.OVER;
    double extreme = high ? Math.max(volts, before.extremeV()) : Math.min(volts, before.extremeV());
    found.set(index, new Exceedance(cell, level, before.fromMs(), timeMs, extreme));
  }

  List<Exceedance> found() {
    return List.copyOf(found);
  }
}
