package org.cellherd.report.scene;

import java.awt.Font;
import java.awt.FontFormatException;
import java.awt.font.FontRenderContext;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import org.apache.pdfbox.pdmodel.PDDocument;

/**
 * The one font of pictures and labels, the same on every machine: it comes with the PDF library and
 * has Latin, Greek and Cyrillic letters.
 */
final class Fonts {

  private static final String REGULAR =
      "/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf";

  /** Bold is drawn by a thicker stroke, which widens it a little. */
  private static final double BOLD_WIDENS = 1.06;

  private static final FontRenderContext EXACT = new FontRenderContext(null, true, true);

  /** Loaded when first used: no picture, no memory. */
  private static final class Loaded {
    private static final Font PLAIN = load();
    private static final Font BOLD = PLAIN.deriveFont(Font.BOLD);

    private static Font load() {
      try (InputStream in = open()) {
        return Font.createFont(Font.TRUETYPE_FONT, in);
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      } catch (FontFormatException e) {
        throw new IllegalStateException("the PDF library's font cannot be read", e);
      }
    }
  }

  private Fonts() {}

  /** The font file. */
  static InputStream open() throws IOException {
    InputStream in = PDDocument.class.getResourceAsStream(REGULAR);
    if (in == null) {
      throw new IOException("the PDF library brings no " + REGULAR);
    }
    return in;
  }

  static Font of(Shape.Letter letter) {
    return (letter.bold() ? Loaded.BOLD : Loaded.PLAIN).deriveFont((float) letter.size());
  }

  /** How wide text is, in the unit of its size. */
  public static double width(String text, double size, boolean bold) {
    double plain =
        Loaded.PLAIN.deriveFont(100f).getStringBounds(text, EXACT).getWidth() * size / 100;
    return bold ? plain * BOLD_WIDENS : plain;
  }
}
