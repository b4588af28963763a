package org.cellherd.report.scene;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import javax.imageio.ImageIO;

/** Scenes as PNG bytes; needs no display. */
public final class PngWriter {

  private static final int MOST_PIXELS = 100_000_000;

  /** Letters stand clear of the lines behind them. */
  private static final BasicStroke CLEAR =
      new BasicStroke(3, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND);

  private final Graphics2D graphics;
  private final Theme theme;

  private PngWriter(Graphics2D graphics, Theme theme) {
    this.graphics = graphics;
    this.theme = theme;
  }

  /**
   * Draws a scene.
   *
   * @param scale picture pixels for one scene unit
   * @throws IllegalArgumentException when the picture would be too large
   */
  public static byte[] bytes(Drawing scene, Theme theme, double scale) {
    double pixels = scene.width() * scale * scene.height() * scale;
    if (!(pixels >= 1 && pixels <= MOST_PIXELS)) {
      throw new IllegalArgumentException("a picture of " + pixels + " pixels");
    }
    BufferedImage image =
        new BufferedImage(
            (int) Math.ceil(scene.width() * scale),
            (int) Math.ceil(scene.height() * scale),
            BufferedImage.TYPE_INT_RGB);
    Graphics2D graphics = image.createGraphics();
    try {
      graphics.setColor(new Color(Ink.PAPER.rgb(theme)));
      graphics.fillRect(0, 0, image.getWidth(), image.getHeight());
      new PngWriter(graphics, theme).scene(scene, scale);
    } finally {
      graphics.dispose();
    }
    return encode(image);
  }

  private static byte[] encode(BufferedImage image) {
    ImageIO.setUseCache(false);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try {
      ImageIO.write(image, "png", out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toByteArray();
  }

  private void scene(Drawing scene, double scale) {
    graphics.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    graphics.setRenderingHint(
        RenderingHints.KEY_FRACTIONALMETRICS, RenderingHints.VALUE_FRACTIONALMETRICS_ON);
    graphics.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    graphics.scale(scale, scale);
    scene.shapes().forEach(this::shape);
  }

  private void shape(Shape shape) {
    if (shape instanceof Shape.Path path) {
      graphics.setColor(colour(path.pen().ink()));
      graphics.setStroke(stroke(path.pen()));
      graphics.draw(path(path.points(), false));
    } else if (shape instanceof Shape.Area area) {
      Color c = colour(area.fill());
      int alpha = (int) Math.round(area.opacity() * 255);
      graphics.setColor(new Color(c.getRed(), c.getGreen(), c.getBlue(), alpha));
      graphics.fill(path(area.outline(), true));
    } else if (shape instanceof Shape.Box box) {
      graphics.setColor(colour(box.fill()));
      graphics.fill(new Rectangle2D.Double(box.x(), box.y(), box.width(), box.height()));
    } else if (shape instanceof Shape.Words words) {
      words(words);
    } else if (shape instanceof Shape.Link link) {
      link.shapes().forEach(this::shape);
    } else {
      throw new IllegalStateException("unknown shape " + shape);
    }
  }

  private void words(Shape.Words words) {
    Shape.Letter letter = words.letter();
    Font font = Fonts.of(letter);
    double width = font.getStringBounds(words.text(), graphics.getFontRenderContext()).getWidth();
    double left =
        switch (letter.anchor()) {
          case START -> words.x();
          case MIDDLE -> words.x() - width / 2;
          case END -> words.x() - width;
        };
    java.awt.Shape outline =
        font.createGlyphVector(graphics.getFontRenderContext(), words.text())
            .getOutline((float) left, (float) words.y());
    if (letter.ink() != Ink.PAPER) {
      graphics.setColor(colour(Ink.PAPER));
      graphics.setStroke(CLEAR);
      graphics.draw(outline);
    }
    graphics.setFont(font);
    graphics.setColor(colour(letter.ink()));
    graphics.drawString(words.text(), (float) left, (float) words.y());
  }

  private static BasicStroke stroke(Pen pen) {
    int[] pattern = pen.dash().pattern();
    float width = (float) pen.width();
    if (pattern.length == 0) {
      return new BasicStroke(width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND);
    }
    float[] lengths = new float[pattern.length];
    for (int i = 0; i < pattern.length; i++) {
      lengths[i] = pattern[i] * width;
    }
    return new BasicStroke(width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, lengths, 0);
  }

  private static Path2D path(Points points, boolean close) {
    Path2D path = new Path2D.Float();
    boolean move = true;
    for (int i = 0; i < points.size(); i++) {
      if (points.isBreak(i)) {
        move = true;
      } else if (move) {
        path.moveTo(points.x(i), points.y(i));
        move = false;
      } else {
        path.lineTo(points.x(i), points.y(i));
      }
    }
    if (close && points.size() > 0) {
      path.closePath();
    }
    return path;
  }

  private Color colour(Ink ink) {
    return new Color(ink.rgb(theme));
  }
}
