package org.cellherd.analysis.ageing;

/**
 * Capacity loss of large prismatic LFP cells by calendar and by cycling: the model of NREL's
 * BLAST-Lite for cells above 250 Ah, data doi 10.1016/j.est.2023.109042. Good for 10 to 45 degC,
 * charging up to 0.65C, depths of 0.8 to 1. Loss as a share of the first capacity.
 */
final class LifeModel {
  /** Loss by calendar grows with days to this power. */
  static final double CALENDAR_POWER = 0.526;

  /** Loss by cycling grows with equivalent full cycles to this power. */
  static final double CYCLING_POWER = 0.828;

  /** Coldest temperature of the model's data, degC. */
  static final double COLDEST_C = 10;

  /** Hottest temperature of the model's data, degC. */
  static final double HOTTEST_C = 45;

  /** Greatest charge rate of the model's data. */
  static final double MOST_RATE = 0.65;

  private static final double KELVIN = 273.15;
  private static final double CALENDAR_SCALE = 8.37e4;
  private static final double CALENDAR_TEMPERATURE_K = -5210;
  private static final double CALENDAR_ANODE_K_PER_V = -3560;
  private static final double CYCLING_BASE = 4.38e-8;
  private static final double CYCLING_PER_DEPTH = 1.55e-8;
  private static final double CYCLING_PER_RATE = 1.68e-7;
  private static final double CYCLING_HOT_K = 2190;
  private static final double CYCLING_COLD_K = -1.55e5;
  private static final double EMPTY_STOICHIOMETRY = 0.0085;
  private static final double FULL_STOICHIOMETRY = 0.78;

  private LifeModel() {}

  /** Potential of the graphite against lithium at a state of charge of 0 to 1, V. */
  static double anodeVolts(double soc) {
    double x = EMPTY_STOICHIOMETRY + soc * (FULL_STOICHIOMETRY - EMPTY_STOICHIOMETRY);
    return 0.6379
        + 0.5416 * Math.exp(-305.5309 * x)
        + 0.044 * Math.tanh(-(x - 0.1958) / 0.1088)
        - 0.1978 * Math.tanh((x - 1.0571) / 0.0854)
        - 0.6875 * Math.tanh((x + 0.0117) / 0.0529)
        - 0.0175 * Math.tanh((x - 0.5692) / 0.0875);
  }

  /** Loss by calendar after one day, at a temperature and state of charge of 0 to 1. */
  static double calendarRate(double celsius, double soc) {
    double kelvin = celsius + KELVIN;
    return CALENDAR_SCALE
        * Math.exp(CALENDAR_TEMPERATURE_K / kelvin)
        * Math.exp(CALENDAR_ANODE_K_PER_V * anodeVolts(soc) / kelvin);
  }

  /** Loss by one equivalent full cycle from new, at a depth of 0 to 1 and a rate in C. */
  static double cyclingRate(double celsius, double depth, double rate) {
    double kelvin = celsius + KELVIN;
    return (CYCLING_BASE + CYCLING_PER_DEPTH * depth + CYCLING_PER_RATE * rate)
        * (Math.exp(CYCLING_HOT_K / kelvin) + Math.exp(CYCLING_COLD_K / kelvin));
  }

  /**
   * A power law under changing conditions: the loss after some more of days or cycles at this rate,
   * starting as if all the loss so far had come at this rate.
   */
  static double advance(double loss, double rate, double power, double more) {
    if (more <= 0 || rate <= 0) {
      return loss;
    }
    return rate * Math.pow(Math.pow(loss / rate, 1 / power) + more, power);
  }
}
