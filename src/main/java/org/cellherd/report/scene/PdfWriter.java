package org.cellherd.report.scene;

import java.awt.Color;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDType0Font;
import org.apache.pdfbox.pdmodel.graphics.state.RenderingMode;

/** Scenes in tenths of a millimetre as one-page PDF bytes, as vectors, black on white. */
public final class PdfWriter {

  /** Points of 1/72 inch in a tenth of a millimetre. */
  private static final double POINTS = 72 / 254.0;

  private static final double BOLD_STROKE = 0.035;

  private final PDPageContentStream page;
  private final PDType0Font font;
  private final double height;

  private PdfWriter(PDPageContentStream page, PDType0Font font, double height) {
    this.page = page;
    this.font = font;
    this.height = height;
  }

  /** One page of the scene's size. */
  public static byte[] bytes(Drawing scene) {
    try (PDDocument document = new PDDocument()) {
      // Else the file's id is made of the time: the same page shall be the same bytes.
      document.setDocumentId(1L);
      PDPage page =
          new PDPage(
              new PDRectangle((float) (scene.width() * POINTS), (float) (scene.height() * POINTS)));
      document.addPage(page);
      document.getDocumentInformation().setTitle(scene.title());
      try (PDPageContentStream content = new PDPageContentStream(document, page)) {
        PdfWriter writer = new PdfWriter(content, font(document), scene.height());
        for (Shape shape : scene.shapes()) {
          writer.shape(shape);
        }
      }
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      document.save(out);
      return out.toByteArray();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static PDType0Font font(PDDocument document) throws IOException {
    try (InputStream in = Fonts.open()) {
      return PDType0Font.load(document, in);
    }
  }

  private void shape(Shape shape) throws IOException {
    if (shape instanceof Shape.Path path) {
      page.setStrokingColor(colour(path.pen().ink()));
      page.setLineWidth((float) (path.pen().width() * POINTS));
      points(path.points());
      page.stroke();
    } else if (shape instanceof Shape.Area area) {
      page.setNonStrokingColor(colour(area.fill()));
      points(area.outline());
      page.fill();
    } else if (shape instanceof Shape.Box box) {
      page.setNonStrokingColor(colour(box.fill()));
      page.addRect(x(box.x()), y(box.y() + box.height()), x(box.width()), x(box.height()));
      page.fill();
    } else if (shape instanceof Shape.Words words) {
      words(words);
    } else if (shape instanceof Shape.Link link) {
      for (Shape inner : link.shapes()) {
        shape(inner);
      }
    } else {
      throw new IllegalStateException("unknown shape " + shape);
    }
  }

  private void words(Shape.Words words) throws IOException {
    String text = known(words.text());
    Shape.Letter letter = words.letter();
    double width = font.getStringWidth(text) / 1000 * letter.size();
    double left =
        switch (letter.anchor()) {
          case START -> words.x();
          case MIDDLE -> words.x() - width / 2;
          case END -> words.x() - width;
        };
    page.beginText();
    page.setFont(font, (float) (letter.size() * POINTS));
    page.setNonStrokingColor(colour(letter.ink()));
    page.setStrokingColor(colour(letter.ink()));
    page.setLineWidth((float) (letter.size() * BOLD_STROKE * POINTS));
    page.setRenderingMode(letter.bold() ? RenderingMode.FILL_STROKE : RenderingMode.FILL);
    page.newLineAtOffset(x(left), y(words.y()));
    page.showText(text);
    page.endText();
  }

  /** Letters that the font lacks become question marks. */
  private String known(String text) {
    StringBuilder out = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              try {
                font.encode(Character.toString(c));
                out.appendCodePoint(c);
              } catch (IOException | IllegalArgumentException e) {
                out.append('?');
              }
            });
    return out.toString();
  }

  private void points(Points points) throws IOException {
    boolean move = true;
    for (int i = 0; i < points.size(); i++) {
      if (points.isBreak(i)) {
        move = true;
      } else if (move) {
        page.moveTo(x(points.x(i)), y(points.y(i)));
        move = false;
      } else {
        page.lineTo(x(points.x(i)), y(points.y(i)));
      }
    }
  }

  private static Color colour(Ink ink) {
    return new Color(ink.rgb(Theme.LIGHT));
  }

  private static float x(double tenthMm) {
    return (float) (tenthMm * POINTS);
  }

  private float y(double tenthMm) {
    return (float) ((height - tenthMm) * POINTS);
  }
}
