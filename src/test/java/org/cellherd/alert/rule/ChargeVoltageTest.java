package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Seasons of drawn weather over an invented pack: on clear days its charger regulates, on weak ones
 * the sun gives what it gives and the top is reached late, barely or not at all.
 */
class ChargeVoltageTest {
  private static final long START_MS = 1_767_225_600_000L;
  private static final int DAY_MIN = 1440;
  private static final int RATED_AH = 100;

  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 1, 1000 * RATED_AH).chargeMv(14_200).build();

  /** No other rule. */
  private AlertSettings alone() {
    AlertSettings settings = Rules.defaults(plan);
    for (String word : Rules.words()) {
      RuleId rule = Rules.id(word);
      settings = settings.with(settings.rule(rule).withEnabled(word.equals("charge-voltage")));
    }
    return settings;
  }

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 6));
  }

  /** One pack, its charger and its sky. */
  private final class Season {
    private final Random random;
    private final double loadA;
    private final double mostA;
    private final double everyDays;
    private final List<Alert> raised = new ArrayList<>();
    private final PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    private final AlertEngine engine = new AlertEngine(plan, alone());
    private double soc = 0.7;
    private long minute;
    int clearDays;

    Season(long seed) {
      random = new Random(seed * 0x9E3779B97F4A7C15L);
      loadA = 0.2 + 0.6 * random.nextDouble();
      mostA = 15 + 25 * random.nextDouble();
      everyDays = 1 + 3 * random.nextDouble();
      SessionStart start = new SessionStart(START_MS, 1, true, true);
      analysis.accept(start);
      engine.onEntry(start, analysis);
    }

    void days(int count, double setMv) {
      for (int day = 0; day < count; day++) {
        boolean isClear = random.nextDouble() < 1 / everyDays;
        clearDays += isClear ? 1 : 0;
        day(isClear ? 1 : 0.05 + 0.3 * random.nextDouble(), setMv);
      }
    }

    private void day(double clear, double setMv) {
      double cloud = 0;
      for (int i = 0; i < DAY_MIN; i++) {
        cloud = 0.9 * cloud + 0.1 * (clear < 1 ? random.nextDouble() : 0);
        double height = Math.sin(Math.PI * (i - 360) / 720.0);
        double sunA = mostA * clear * (1 - cloud) * Math.max(0, height);
        double amperes = 0;
        for (int part = 0; part < 30; part++) {
          amperes = Math.min(sunA, heldA(setMv)) - (soc > 0.25 ? loadA : 0);
          soc += amperes / 1800 / RATED_AH;
        }
        step(amperes);
      }
    }

    /** What the charger may give without lifting a cell above its setting. */
    private double heldA(double setMv) {
      return Math.max(0, (setMv - openMv()) / 1.5 + loadA);
    }

    private double openMv() {
      return 3280 + 50 * soc + 20 * Math.exp((soc - 0.97) / 0.01);
    }

    private void step(double amperes) {
      minute++;
      int tenth = (int) Math.round(10 * (openMv() + 1.5 * amperes)) + random.nextInt(10);
      Reading reading =
          Reading.at(START_MS + 60_000 * minute)
              .cells(CellVoltages.ofTenthMv(tenth, tenth + 10, tenth - 10, tenth))
              .currentMa((int) Math.round(1000 * amperes))
              .build();
      analysis.accept(reading);
      engine.onEntry(reading, analysis).stream()
          .filter(e -> e.change() == Change.RAISED)
          .map(AlertEvent::alert)
          .filter(a -> a.key().rule().equals(Rules.id("charge-voltage")))
          .forEach(raised::add);
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void weakDaysAreNoOtherChargeVoltage(long seed) {
    Season season = new Season(seed);

    season.days(60, 3550);

    assertThat(season.raised).as("seed %d", seed).isEmpty();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aSettingThatChangedIsRaisedOnce(long seed) {
    Season season = new Season(seed);
    season.days(40, 3550);
    season.clearDays = 0;

    season.days(20, seed % 2 == 0 ? 3590 : 3510);

    assertThat(season.raised).as("seed %d, %d clear", seed, season.clearDays).hasSize(1);
    assertThat(season.raised.get(0).text()).contains(seed % 2 == 0 ? "14.3" : "14.0", "14.2");
  }
}
