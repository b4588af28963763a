package org.cellherd.analysis.charge;

import java.util.Locale;
import org.cellherd.analysis.Interval;

/** The state of charge in words. */
final class SocSentence {
  /** The middle of wider bounds says nothing. */
  private static final double VAGUE_PCT = 50;

  private SocSentence() {}

  static String of(Interval pct, Anchor anchor, boolean isBlind, boolean isSensorDoubtful) {
    boolean isVague = pct.high() - pct.low() > VAGUE_PCT;
    String text =
        isVague
            ? String.format(Locale.ROOT, "%.0f to %.0f %% full", pct.low(), pct.high())
            : String.format(
                Locale.ROOT, "About %.0f %% full, %.0f to %.0f", pct.mid(), pct.low(), pct.high());
    text += ", counted from " + anchor.text();
    if (isBlind) {
      text += "; on this plateau the voltage cannot tell";
    }
    text += ".";
    return isSensorDoubtful
        ? text + " Charge out and charge in do not match: current sensor or missing data."
        : text;
  }
}
