package org.cellherd.analysis.balance;

import java.util.Locale;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Spoken;

/** Leads, hours to go and spreads, said the same wherever a balance is spoken of. */
public final class BalanceWords {
  /** Sooner than this is no news of a night's work. */
  private static final double LEAST_HOURS = 0.5;

  private BalanceWords() {}

  /** False where the lead may be nothing, and may be anything. */
  public static boolean isTelling(Interval ah) {
    return isBounded(ah) || ah.low() >= 0.05 || ah.high() < 3;
  }

  static String ah(double value) {
    String format = value < 0.095 ? "%.2f Ah" : value < 10 ? "%.1f Ah" : "%.0f Ah";
    return String.format(Locale.ROOT, format, value);
  }

  static String upTo(double ah) {
    return Spoken.high(ah, ah < 0.095 ? 2 : ah < 10 ? 1 : 0) + " Ah";
  }

  /** The lead as precisely as it is known: one number, both bounds, or the one that tells. */
  public static String lead(Interval ah) {
    if (!isBounded(ah)) {
      return ah.low() >= 0.05
          ? "at least " + Spoken.low(ah.low(), ah.low() < 0.1 ? 2 : ah.low() < 10 ? 1 : 0) + " Ah"
          : ah.high() < 3 ? "up to " + upTo(ah.high()) : "an unknown amount";
    }
    if (ah.high() < 0.05 || (2 * ah.low() >= ah.mid() && ah.high() <= 2 * ah.mid())) {
      return ah(ah.mid());
    }
    return ah.low() < 0.01
        ? "up to " + upTo(ah.high())
        : Spoken.between(ah.low(), ah.high(), ah.low() < 0.5 ? 2 : ah.low() < 10 ? 1 : 0) + " Ah";
  }

  /** False where the bounds lie so far apart that only the lower one says something. */
  public static boolean isBounded(Interval ah) {
    return ah.high() <= 3 * Math.max(0.05, ah.mid());
  }

  /** Such as "25 min" or "5 h". */
  public static String lasting(long ms) {
    long minutes = ms / 60_000;
    return minutes < 120 ? minutes + " min" : hours(minutes / 60.0) + " h";
  }

  static String hours(double value) {
    return String.format(Locale.ROOT, value < 3 ? "%.1f" : "%.0f", value);
  }

  /**
   * "about 9 h to balance, 7 to 13"; no number where the bounds lie so far apart that it says
   * nothing.
   */
  public static String toBalance(Interval hours) {
    if (hours.high() <= 1) {
      return "less than an hour to balance";
    }
    if (hours.high() > 6 * Math.max(0.1, hours.mid()) || hours.high() > 2000) {
      return hours.low() < LEAST_HOURS
          ? "how long balance will take is not known yet"
          : "at least " + Spoken.low(hours.low(), hours.low() < 3 ? 1 : 0) + " h to balance";
    }
    return "about "
        + hours(hours.mid())
        + " h to balance, "
        + Spoken.low(hours.low(), hours.low() < 3 ? 1 : 0)
        + " to "
        + Spoken.high(hours.high(), hours.high() < 3 ? 1 : 0);
  }

  static String mv(double value) {
    return String.format(Locale.ROOT, "%.0f mV", value);
  }

  /** "3 was 0.65 Ah ahead (0.56 to 0.74)"; before it stands "cell". */
  public static String was(Apart apart) {
    String way = apart.isBehind() ? " behind all others" : " ahead";
    return apart.cell() + " was " + much(apart.ah()) + way + bounds(apart.ah());
  }

  /** "0.65 Ah", "at least 0.56 Ah". */
  static String much(Interval ah) {
    return isBounded(ah)
        ? Spoken.number(ah.mid(), decimals(ah)) + " Ah"
        : "at least " + Spoken.low(ah.low(), decimals(ah)) + " Ah";
  }

  /** " (0.56 to 0.74)"; empty where there is no upper one. */
  static String bounds(Interval ah) {
    return isBounded(ah) ? " (" + Spoken.between(ah.low(), ah.high(), decimals(ah)) + ")" : "";
  }

  private static int decimals(Interval ah) {
    return ah.mid() < 10 ? 2 : 1;
  }
}
