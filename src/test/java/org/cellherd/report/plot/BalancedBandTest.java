package org.cellherd.report.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.List;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Shape;
import org.junit.jupiter.api.Test;

class BalancedBandTest {
  private static final long HOUR = 3_600_000;

  /** Two cells as far apart as a balanced pack's may be lie on the two edges of what is drawn. */
  @Test
  void theBandIsAsHighAsTheSpreadThatCountsAsBalanced() {
    long seed = new Random().nextLong();
    Random random = new Random(seed);
    PackPlan plan = PackPlan.of("p", Chemistry.LFP, 3, 1, 100_000);
    for (int run = 0; run < 50; run++) {
      int spread = 1 + random.nextInt(500);
      BalancedBand band =
          BalancedBand.of(AnalysisSettings.of(plan).withBalanced(spread, 30 * 60_000L));

      Drawing scene = HerdStrip.scene(input(spread, band), Plots.Size.wide(300)).orElseThrow();

      Shape.Box drawn =
          scene.shapes().stream()
              .filter(Shape.Box.class::isInstance)
              .map(Shape.Box.class::cast)
              .findFirst()
              .orElseThrow();
      List<Float> lines =
          scene.shapes().stream()
              .filter(Shape.Path.class::isInstance)
              .map(s -> ((Shape.Path) s).points().y(0))
              .toList();
      assertThat(lines).as("seed %s, %s mV", seed, spread).anyMatch(y -> near(y, drawn.y()));
      assertThat(lines)
          .as("seed %s, %s mV", seed, spread)
          .anyMatch(y -> near(y, drawn.y() + drawn.height()));
      assertThat(scene.description()).contains(spread + " mV high");
    }
  }

  private static boolean near(double one, double other) {
    return Math.abs(one - other) < 0.1;
  }

  private static PlotInput input(int spreadMv, BalancedBand band) {
    Tracks tracks = new Tracks(0, HOUR);
    Tracks.Span span = new Tracks.Span(0, HOUR);
    for (int cell = 1; cell <= 3; cell++) {
      double tenthMv = 33_000 + (cell - 2) * spreadMv * 5.0;
      tracks.add(Channel.cell(cell), span, tenthMv, tenthMv, tenthMv, 60);
    }
    return new PlotInput(
        tracks,
        ZoneOffset.UTC,
        List.of(),
        List.of(),
        List.of(),
        band,
        PlotFindings.of(List.of()),
        List.of());
  }
}
