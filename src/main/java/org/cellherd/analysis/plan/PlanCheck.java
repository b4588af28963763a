package org.cellherd.analysis.plan;

import java.util.Locale;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * One thing that was checked, with both numbers.
 *
 * @param name such as {@code fuse-over-load}
 * @param verdict what came out
 * @param value the number that is judged, in {@code unit}
 * @param limit the number it is held against, in {@code unit}
 * @param unit such as {@code A} or {@code mV}
 * @param sentence for people
 */
public record PlanCheck(
    String name, Verdict verdict, double value, double limit, String unit, String sentence) {

  /** What came out, mildest first. */
  public enum Verdict implements Worded {
    /** Fits. */
    OK,
    /** Works, but somebody should know. */
    WARN,

    /** Does not fit. */
    FAIL;

    /** A line of a list of verdicts: this one, and what it is of. */
    public String line(String sentence) {
      return String.format(Locale.ROOT, "  %-4s  %s", name(), sentence);
    }
  }

  public Facts facts() {
    return Facts.of()
        .put("check", name)
        .put("verdict", verdict.word())
        .put("value", value, 3)
        .put("limit", limit, 3)
        .put("unit", unit)
        .put("text", sentence)
        .build();
  }

  /** OK when the value is not above the limit, else another verdict. */
  static PlanCheck atMost(
      String name, double value, double limit, String unit, Verdict otherwise, String sentence) {
    Verdict verdict = value <= limit ? Verdict.OK : otherwise;
    return new PlanCheck(name, verdict, value, limit, unit, sentence);
  }
}
