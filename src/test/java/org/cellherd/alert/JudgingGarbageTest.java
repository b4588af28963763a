package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class JudgingGarbageTest {
  private static final ThreadMXBean THREAD = (ThreadMXBean) ManagementFactory.getThreadMXBean();
  private static final int READINGS = 4_000;
  private static final int LOADED = 1_000;

  /**
   * A list of boxed cells is 16 of 16 bytes and 80 of the list; what is made anew a reading by all
   * folds and rules together stays below four of them, also before anything is compiled, where
   * nothing is optimized away. It was eighteen of them, most by boxing each channel of each reading
   * three times.
   */
  private static final long MOST_BYTES = 4 * (16 * 16 + 80);

  @ParameterizedTest
  @ValueSource(strings = {"first-night-16s", "healthy-week"})
  void aReadingIsJudgedWithoutBoxingItsCells(String scenario) {
    Scenario world = Scenarios.open(scenario);
    PackPlan plan = world.plans().get(0);
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    AlertEngine engine = new AlertEngine(plan, Rules.defaults(plan));
    List<Reading> readings = readings(world);
    long before = 0;

    for (int i = 0; i < readings.size(); i++) {
      // by then all classes are loaded, which takes memory once
      before = i == LOADED ? allocated() : before;
      analysis.accept(readings.get(i));
      engine.onEntry(readings.get(i), analysis);
    }

    assertThat((allocated() - before) / (READINGS - LOADED)).isLessThan(MOST_BYTES);
  }

  private static long allocated() {
    return THREAD.getThreadAllocatedBytes(Thread.currentThread().getId());
  }

  private static List<Reading> readings(Scenario world) {
    SimulatedRig rig = world.rig();
    List<Reading> list = new ArrayList<>();
    for (long t = world.startMs(); list.size() < READINGS; t += world.pollMs()) {
      rig.stepTo(t);
      list.add(rig.measured().atTime(t));
    }
    return list;
  }
}
