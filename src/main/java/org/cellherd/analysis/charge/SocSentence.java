package org.cellherd.analysis.charge;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.pack.Spoken;

/** The state of charge in words. */
final class SocSentence {
  /** The middle of wider bounds says nothing. */
  private static final double VAGUE_PCT = 50;

  private SocSentence() {}

  static String of(
      Interval pct, SocResult.Anchor anchor, boolean isBlind, boolean isSensorDoubtful) {
    boolean isVague = pct.high() - pct.low() > VAGUE_PCT;
    String bounds = Spoken.between(pct.low(), pct.high(), 0);
    String text =
        isVague
            ? bounds + " % full"
            : "About " + Spoken.number(pct.mid(), 0) + " % full, " + bounds;
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
