package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Theme;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Contrast by the formula of WCAG 2.1 (relative luminance; 4.5 for text, 3 for lines). */
class InkTest {

  private static double contrast(Ink ink, Ink ground, Theme theme) {
    double one = luminance(ink.rgb(theme));
    double other = luminance(ground.rgb(theme));
    return (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
  }

  private static double luminance(int rgb) {
    return 0.2126 * linear(rgb >> 16) + 0.7152 * linear(rgb >> 8) + 0.0722 * linear(rgb);
  }

  private static double linear(int channel) {
    double share = (channel & 0xFF) / 255.0;
    return share <= 0.04045 ? share / 12.92 : Math.pow((share + 0.055) / 1.055, 2.4);
  }

  @ParameterizedTest
  @EnumSource(Theme.class)
  void textIsReadableOnPaperAndOnEveryBand(Theme theme) {
    for (Ink ground : new Ink[] {Ink.PAPER, Ink.BAND, Ink.GAP}) {
      assertThat(contrast(Ink.INK, ground, theme)).isGreaterThan(7);
      assertThat(contrast(Ink.SOFT, ground, theme)).as("soft on " + ground).isGreaterThan(4.5);
      assertThat(contrast(Ink.LIMIT, ground, theme)).as("limit on " + ground).isGreaterThan(4.5);
    }
  }

  /** A link has the first colour, and the letter of a discharge curve that of its line. */
  @ParameterizedTest
  @EnumSource(Theme.class)
  void everyLineColourIsReadableAsALetterOnPaper(Theme theme) {
    for (int number = 1; number <= Ink.lineCount(); number++) {
      assertThat(contrast(Ink.line(number), Ink.PAPER, theme))
          .as("line " + number)
          .isGreaterThan(4.5);
    }
  }

  @ParameterizedTest
  @EnumSource(Theme.class)
  void linesStandOutFromEveryGround(Theme theme) {
    for (Ink ground : new Ink[] {Ink.PAPER, Ink.BAND, Ink.GAP}) {
      for (int number = 1; number <= Ink.lineCount(); number++) {
        assertThat(contrast(Ink.line(number), ground, theme))
            .as("line " + number + " on " + ground)
            .isGreaterThan(3);
        assertThat(Ink.line(number).rgb(theme)).isNotEqualTo(Ink.LIMIT.rgb(theme));
      }
    }
  }
}
