package org.cellherd.report.scene;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.util.List;
import java.util.Random;
import javax.imageio.ImageIO;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A plus that a line goes through reads as a minus: letters stand clear of what is behind them. */
class LettersTest {

  private static final int SCALE = 4;

  @ParameterizedTest
  @CsvSource({"1,LIGHT", "2,DARK", "3,LIGHT", "4,DARK"})
  void noLineComesNearALetter(long seed, Theme theme) throws Exception {
    Random random = new Random(seed);
    Points.Builder points = new Points.Builder();
    for (int i = 0; i < 40; i++) {
      points.to(10 + 180 * random.nextDouble(), 10 + 40 * random.nextDouble());
    }
    Shape lines = new Shape.Path(points.build(), Pen.of(Ink.line(3), 1.6));
    Shape words = new Shape.Words(60, 35, "14: +27.9", Shape.Letter.of(12, Ink.INK));
    BufferedImage image =
        ImageIO.read(
            new ByteArrayInputStream(
                PngWriter.bytes(
                    new Drawing(200, 60, "t", "d", List.of(lines, words)), theme, SCALE)));
    int letters = 0;
    for (int x = SCALE; x < image.getWidth() - SCALE; x++) {
      for (int y = SCALE; y < image.getHeight() - SCALE; y++) {
        if ((image.getRGB(x, y) & 0xFFFFFF) == Ink.INK.rgb(theme)) {
          letters++;
          assertThat(isNear(image, x, y, Ink.line(3).rgb(theme))).as("%d, %d", x, y).isFalse();
        }
      }
    }
    assertThat(letters).isGreaterThan(500);
  }

  /** Within a scene unit. */
  private static boolean isNear(BufferedImage image, int x, int y, int rgb) {
    for (int dx = -SCALE; dx <= SCALE; dx++) {
      for (int dy = -SCALE; dy <= SCALE; dy++) {
        boolean isWithin = dx * dx + dy * dy <= SCALE * SCALE;
        if (isWithin && (image.getRGB(x + dx, y + dy) & 0xFFFFFF) == rgb) {
          return true;
        }
      }
    }
    return false;
  }
}
