package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Values computed once from the published coefficients of NREL's BLAST-Lite. */
class LifeModelTest {

  @ParameterizedTest
  @CsvSource({"0.1, 0.2332476", "0.5, 0.1233037", "0.9, 0.0881845", "1.0, 0.0863823"})
  void potentialOfTheGraphite(double soc, double volts) {
    assertThat(LifeModel.anodeVolts(soc)).isCloseTo(volts, within(5e-8));
  }

  @ParameterizedTest
  @CsvSource({
    "25, 0.5, 1, 0.0110",
    "25, 0.5, 10, 0.0370",
    "35, 0.5, 10, 0.0684",
    "45, 0.5, 10, 0.1217",
    "25, 1.0, 10, 0.0575"
  })
  void lossByCalendar(double celsius, double soc, double years, double loss) {
    double rate = LifeModel.calendarRate(celsius, soc);

    assertThat(LifeModel.advance(0, rate, LifeModel.CALENDAR_POWER, 365 * years))
        .isCloseTo(loss, within(5.1e-5));
  }

  @ParameterizedTest
  @CsvSource({"1000, 0.8, 0.2, 0.0424", "3000, 1, 0.5, 0.1680", "5000, 1, 0.5, 0.2565"})
  void lossByCycling(double cycles, double depth, double rate, double loss) {
    assertThat(
            LifeModel.advance(
                0, LifeModel.cyclingRate(25, depth, rate), LifeModel.CYCLING_POWER, cycles))
        .isCloseTo(loss, within(5.1e-5));
  }

  /** Ten years of daily use: 25 degC, 60 %, depth 0.8 at 0.25C. */
  @Test
  void lossOfASolarPackInTenYears() {
    double calendar =
        LifeModel.advance(0, LifeModel.calendarRate(25, 0.6), LifeModel.CALENDAR_POWER, 3650);
    double cycling =
        LifeModel.advance(
            0, LifeModel.cyclingRate(25, 0.8, 0.25), LifeModel.CYCLING_POWER, 0.8 * 3650);
    double daily =
        LifeModel.advance(0, LifeModel.cyclingRate(25, 0.8, 0.25), LifeModel.CYCLING_POWER, 3650);

    assertThat(calendar).isCloseTo(0.0390, within(5e-5));
    assertThat(calendar + daily).isCloseTo(0.1744, within(5e-5));
    assertThat(cycling).isLessThan(daily);
  }

  @Test
  void manySmallStepsEqualOneLargeStep() {
    double rate = LifeModel.calendarRate(25, 0.5);
    double loss = 0;
    for (int day = 0; day < 1000; day++) {
      loss = LifeModel.advance(loss, rate, LifeModel.CALENDAR_POWER, 1);
    }

    assertThat(loss)
        .isCloseTo(LifeModel.advance(0, rate, LifeModel.CALENDAR_POWER, 1000), within(1e-12));
  }

  @Test
  void lifeLeftIsAnIntervalThatShrinksWithLoss() {
    Usage use = new Usage(25, 0.6, 0.8, 0.25, 0.8);

    Interval fresh = LifeLeft.byModel(use, 0, 0.2);
    Interval used = LifeLeft.byModel(use, 0.15, 0.2);

    assertThat(fresh.mid()).isBetween(8.0, 20.0);
    assertThat(used.high()).isLessThan(fresh.high());
    assertThat(LifeLeft.byModel(use, 0.25, 0.2)).isEqualTo(new Interval(0, 0, 0));
  }

  @Test
  void theOwnersTestsNarrowOrOverruleTheModel() {
    Interval model = new Interval(4, 8, 20);

    assertThat(LifeLeft.together(model, new Interval(6, 9, 12)))
        .isEqualTo(new Interval(6, Math.sqrt(72), 12));
    assertThat(LifeLeft.together(model, new Interval(1, 2, 3))).isEqualTo(new Interval(1, 2, 3));
    assertThat(LifeLeft.byTests(new Interval(-0.03, -0.02, 0.001), 0.1, 0.2)).isEmpty();
    assertThat(LifeLeft.byTests(new Interval(-0.04, -0.02, -0.01), 0.1, 0.2).orElseThrow().mid())
        .isCloseTo(5, within(1e-9));
  }
}
