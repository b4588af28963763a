package org.cellherd.report.label;

import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Worded;

/** Common label sizes, in mm, wide side first. */
public enum LabelSize implements Worded {
  /** A small address label. */
  S70X37(70, 37),
  /** A shipping label of office label sheets, two columns of five. */
  S99X57(99, 57),
  /** DIN A7. */
  A7(105, 74),
  /** DIN A6. */
  A6(148, 105);

  private final int widthMm;
  private final int heightMm;

  LabelSize(int widthMm, int heightMm) {
    this.widthMm = widthMm;
    this.heightMm = heightMm;
  }

  /** Width in mm. */
  public int widthMm() {
    return widthMm;
  }

  /** Height in mm. */
  public int heightMm() {
    return heightMm;
  }

  /** The word used on the command line, such as {@code 99x57}. */
  @Override
  public String word() {
    return name().startsWith("S") ? widthMm + "x" + heightMm : name().toLowerCase(Locale.ROOT);
  }

  /** The size of a word, or empty. */
  public static Optional<LabelSize> ofWord(String word) {
    return Worded.find(values(), word);
  }
}
