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
    Interval days = leak.daysTo5Pct();
    String most = Spoken.counted((long) Math.ceil(days.high()), "day");
    Interval ma = leak.leakMa();
    return String.format(
            Locale.ROOT,
            "Cell %d falls behind from one full charge to the next: it loses %s mA more than"
                + " the median cell, 5 %% of the rating in %s.",
            leak.cell(),
            leak.isOpen()
                ? "at least " + Spoken.low(ma.low(), 1)
                : Spoken.between(ma.low(), ma.high(), 1),
            leak.isOpen() || days.low() < 1
                ? "at most " + most
                : Spoken.low(days.low(), 0) + " to " + most)
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
