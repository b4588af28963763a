package org.cellherd.analysis.charge;

import java.util.Locale;
import org.cellherd.analysis.Interval;

/** The state of charge in words. */
final class SocSentence {
  private SocSentence() {}

  static String of(Interval pct, Anchor anchor, boolean isBlind, boolean isSensorDoubtful) {
    String text =
        String.format(
            Locale.ROOT,
            "About %.0f %% full, %.0f to %.0f, counted from %s",
            pct.mid(),
            pct.low(),
            pct.high(),
            anchor.text());
    if (isBlind) {
      text += "; on this plateau the voltage cannot tell";
    }
    text += ".";
    return isSensorDoubtful
        ? text + " Charge out and charge in do not match: current sensor or missing data."
        : text;
  }
}
