package org.cellherd.report.scene;

import java.util.Locale;
import org.cellherd.pack.Worded;

/**
 * What a colour is for, with its value on light and on dark paper. The seven line colours are the
 * Okabe-Ito set (Okabe and Ito, Color Universal Design, 2008) without its yellow, which is lost on
 * white, and darkened until each is readable as a letter on paper and stands out from band and gap;
 * on dark paper black gives way to yellow.
 */
public enum Ink implements Worded {
  PAPER(0xFFFFFF, 0x14171A),
  INK(0x1B1F23, 0xE8EAED),
  /** Secondary text. */
  SOFT(0x57606A, 0xA8B0B8),
  GRID(0xDDE1E5, 0x333A41),
  /** A band that is as it should be. */
  BAND(0xE3F1EC, 0x17352C),
  /** A stretch without readings. */
  GAP(0xECECEC, 0x2A2D31),
  /** A limit: no cell's colour. */
  LIMIT(0xB3003C, 0xFF7A9C),
  /** Line colours. */
  S1(0x0072B2, 0x56A6E0),
  S2(0xC25100, 0xFF7F2A),
  S3(0x008560, 0x2CC79A),
  S4(0xB0588A, 0xE59BC4),
  S5(0x966600, 0xE69F00),
  S6(0x2078AF, 0x8CCBF2),
  S7(0x1B1F23, 0xF0E442);

  private static final Ink[] LINES = {S1, S2, S3, S4, S5, S6, S7};

  private final int light;
  private final int dark;

  Ink(int light, int dark) {
    this.light = light;
    this.dark = dark;
  }

  /** The line colour of a number from 1; they come again after seven. */
  public static Ink line(int number) {
    return LINES[Math.floorMod(number - 1, LINES.length)];
  }

  public static int lineCount() {
    return LINES.length;
  }

  /** 0xRRGGBB on a paper. */
  public int rgb(Theme theme) {
    return theme == Theme.LIGHT ? light : dark;
  }

  /** {@code #rrggbb} on a paper. */
  public String css(Theme theme) {
    return String.format(Locale.ROOT, "#%06x", rgb(theme));
  }
}
