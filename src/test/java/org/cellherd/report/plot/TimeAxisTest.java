package org.cellherd.report.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.ZoneId;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/**
 * Marks of any span from an hour to six years, in any place, keep off each other, also where clocks
 * go forward.
 */
class TimeAxisTest {
  private static final double WIDTH = Plots.Size.wide(300).plotWidth();

  /** Mean of a letter: "Feb 2027" takes 61 pixels in DejaVu Sans of 13. */
  private static final double LETTER = 7.6;

  private static final List<String> ZONES =
      List.of("UTC", "Europe/Berlin", "Asia/Kathmandu", "America/Santiago");

  @Test
  void marksNeverTouch() {
    for (int draw = 0; draw < 20_000; draw++) {
      Random random = new Random(draw);
      double years = 6 * 365.25 * Math.pow(1 / 50_000.0, random.nextDouble());
      long from = 1_500_000_000_000L + (long) (random.nextDouble() * 4e11);
      long to = from + Math.round(years * Duration.ofDays(1).toMillis());
      ZoneId zone = ZoneId.of(ZONES.get(random.nextInt(ZONES.size())));

      List<TimeAxis.Tick> ticks = new TimeAxis(new Tracks(from, to), zone, 0, WIDTH).ticks();

      for (int i = 1; i < ticks.size(); i++) {
        TimeAxis.Tick before = ticks.get(i - 1);
        TimeAxis.Tick now = ticks.get(i);
        double half = LETTER * (before.text().length() + now.text().length()) / 2;
        assertThat(now.x() - before.x())
            .as("draw %d: %s, %s", draw, before.text(), now.text())
            .isGreaterThan(half);
      }
    }
  }
}
