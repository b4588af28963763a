package org.cellherd.analysis.result;

import java.util.Locale;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.cellherd.pack.Spoken;

/** Says of a leaking cell what it loses and how soon that matters. */
public final class LeakWords {

  private LeakWords() {}

  /**
   * What it loses, by how much it is behind, and that it may be more where only the least is known.
   */
  public static String of(Leaking leak) {
    String most = Spoken.high(leak.daysTo5Pct().high(), 0);
    Interval ma = leak.leakMa();
    return String.format(
            Locale.ROOT,
            "Cell %d falls behind from one full charge to the next: it loses %s mA more than"
                + " the median cell, 5 %% of the rating in %s days.",
            leak.cell(),
            leak.isOpen()
                ? "at least " + Spoken.low(ma.low(), 1)
                : Spoken.between(ma.low(), ma.high(), 1),
            leak.isOpen()
                ? "at most " + most
                : Spoken.low(leak.daysTo5Pct().low(), 0) + " to " + most)
        + leak.behindAh()
            .map(
                ah ->
                    " When the pack was last full it was "
                        + Spoken.between(ah.low(), ah.high(), 1)
                        + " Ah behind.")
            .orElse("")
        + (leak.isOpen() ? " It no longer comes to the top, so it may be more." : "");
  }
}
