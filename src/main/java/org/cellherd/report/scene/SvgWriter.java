package org.cellherd.report.scene;

import java.util.Locale;

/** Scenes as SVG 1.1 text. */
public final class SvgWriter {

  private static final String FONT =
      "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;"
          + "font-variant-numeric:tabular-nums";

  private final StringBuilder out = new StringBuilder(16_384);

  /** Letters stand clear of the lines behind them; those on a coloured box are paper themselves. */
  private static final String CLEAR =
      "text{paint-order:stroke;stroke-width:3px;stroke-linejoin:round;stroke:";

  private static final String ON_BOX = "}text.f-paper{stroke:none}";

  /** Letters are as wide as measured, whatever font there is. */
  private final boolean isMeasured;

  private SvgWriter(boolean isMeasured) {
    this.isMeasured = isMeasured;
  }

  /** A file of its own, its size in CSS pixels. */
  public static String file(Drawing scene, Theme theme) {
    String clear = CLEAR + Ink.PAPER.css(theme) + ON_BOX;
    return new SvgWriter(true).document(scene, "", styles(theme) + clear, true);
  }

  /**
   * A file whose scene is in tenths of a millimetre and which prints at that size, black on white.
   */
  public static String inMillimetres(Drawing scene) {
    String size =
        String.format(
            Locale.ROOT,
            " width=\"%smm\" height=\"%smm\"",
            n(scene.width() / 10),
            n(scene.height() / 10));
    return new SvgWriter(true).document(scene, size, styles(Theme.LIGHT), true);
  }

  /**
   * An element for a page that brings the styles of {@link #pageStyles}. Title, description and
   * links are told by screen readers; links lie on top.
   *
   * @param id unique in the page
   */
  public static String inline(Drawing scene, String id) {
    return new SvgWriter(false).element(scene, id);
  }

  /** Style rules for inline elements; the colours are variables such as {@code --s1}. */
  public static String pageStyles() {
    StringBuilder css = new StringBuilder();
    for (Ink ink : Ink.values()) {
      css.append(rule(ink, "var(--" + ink.word() + ")"));
    }
    return css.append("svg text{" + FONT + "}svg " + CLEAR + "var(--paper)" + ON_BOX).toString();
  }

  /** Values of the colour variables. */
  public static String variables(Theme theme) {
    StringBuilder css = new StringBuilder();
    for (Ink ink : Ink.values()) {
      css.append("--").append(ink.word()).append(':').append(ink.css(theme)).append(';');
    }
    return css.toString();
  }

  private static String styles(Theme theme) {
    StringBuilder css = new StringBuilder("text{" + FONT + "}");
    for (Ink ink : Ink.values()) {
      css.append(rule(ink, ink.css(theme)));
    }
    return css.toString();
  }

  private static String rule(Ink ink, String colour) {
    return ".l-"
        + ink.word()
        + "{fill:none;stroke:"
        + colour
        + "}.f-"
        + ink.word()
        + "{fill:"
        + colour
        + "}";
  }

  private String document(Drawing scene, String size, String styles, boolean paper) {
    out.append("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"")
        .append("http://www.w3.org/2000/svg\" viewBox=\"0 0 ")
        .append(n(scene.width()) + " " + n(scene.height()) + "\"" + size)
        .append(size.isEmpty() ? pixels(scene) : "")
        .append("><title>" + Markup.text(scene.title()) + "</title><desc>")
        .append(Markup.text(scene.description()) + "</desc><style>" + styles + "</style>\n");
    if (paper) {
      shape(new Shape.Box(0, 0, scene.width(), scene.height(), Ink.PAPER));
    }
    scene.shapes().forEach(this::shape);
    return out.append("</svg>\n").toString();
  }

  private static String pixels(Drawing scene) {
    return " width=\"" + n(scene.width()) + "\" height=\"" + n(scene.height()) + "\"";
  }

  private String element(Drawing scene, String id) {
    out.append("<svg viewBox=\"0 0 " + n(scene.width()) + " " + n(scene.height()) + "\"")
        .append(" role=\"" + (links(scene) ? "group" : "img") + "\" aria-labelledby=\"" + id)
        .append("-t\" aria-describedby=\"" + id + "-d\"><title id=\"" + id + "-t\">")
        .append(Markup.text(scene.title()) + "</title><desc id=\"" + id + "-d\">")
        .append(Markup.text(scene.description()) + "</desc>\n<g aria-hidden=\"true\">\n");
    scene.shapes().stream().filter(s -> !(s instanceof Shape.Link)).forEach(this::shape);
    out.append("</g>\n");
    scene.shapes().stream().filter(Shape.Link.class::isInstance).forEach(this::shape);
    return out.append("</svg>").toString();
  }

  /** A picture with links is a group: what is inside a mere image is not told by a reader. */
  private static boolean links(Drawing scene) {
    return scene.shapes().stream().anyMatch(Shape.Link.class::isInstance);
  }

  private void shape(Shape shape) {
    if (shape instanceof Shape.Path path) {
      out.append("<path class=\"l-" + path.pen().ink().word() + "\" stroke-width=\"")
          .append(
              n(path.pen().width()) + "\"" + dash(path.pen()) + " stroke-linejoin=\"round\" d=\"");
      data(path.points());
      out.append("\"/>\n");
    } else if (shape instanceof Shape.Area area) {
      out.append("<path class=\"f-" + area.fill().word() + "\" fill-opacity=\"")
          .append(n(area.opacity()) + "\" d=\"");
      data(area.outline());
      out.append("Z\"/>\n");
    } else if (shape instanceof Shape.Box box) {
      out.append("<rect class=\"f-" + box.fill().word() + "\" x=\"" + n(box.x()) + "\" y=\"")
          .append(n(box.y()) + "\" width=\"" + n(box.width()) + "\" height=\"")
          .append(n(box.height()) + "\"/>\n");
    } else if (shape instanceof Shape.Words words) {
      words(words);
    } else if (shape instanceof Shape.Link link) {
      out.append("<a href=\"" + Markup.attribute(link.href()) + "\" aria-label=\"")
          .append(Markup.attribute(link.name()) + "\"><title>" + Markup.text(link.name()))
          .append("</title>");
      link.shapes().forEach(this::shape);
      out.append("</a>\n");
    } else {
      throw new IllegalStateException("unknown shape " + shape);
    }
  }

  private void words(Shape.Words words) {
    Shape.Letter letter = words.letter();
    String anchor =
        switch (letter.anchor()) {
          case START -> "";
          case MIDDLE -> " text-anchor=\"middle\"";
          case END -> " text-anchor=\"end\"";
        };
    out.append("<text class=\"f-" + letter.ink().word() + "\" x=\"" + n(words.x()) + "\" y=\"")
        .append(n(words.y()) + "\" font-size=\"" + n(letter.size()) + "\"" + anchor)
        .append(isMeasured ? measured(words) : "")
        .append(letter.bold() ? " font-weight=\"600\">" : ">")
        .append(Markup.text(words.text()) + "</text>\n");
  }

  private static String measured(Shape.Words words) {
    Shape.Letter letter = words.letter();
    return " textLength=\""
        + n(Fonts.width(words.text(), letter.size(), letter.bold()))
        + "\" lengthAdjust=\"spacingAndGlyphs\"";
  }

  private void data(Points points) {
    boolean move = true;
    for (int i = 0; i < points.size(); i++) {
      if (points.isBreak(i)) {
        move = true;
        continue;
      }
      out.append(move ? 'M' : 'L').append(n(points.x(i))).append(' ').append(n(points.y(i)));
      move = false;
    }
  }

  private static String dash(Pen pen) {
    int[] pattern = pen.dash().pattern();
    if (pattern.length == 0) {
      return "";
    }
    StringBuilder text = new StringBuilder();
    for (int length : pattern) {
      text.append(text.isEmpty() ? "" : " ").append(n(length * pen.width()));
    }
    return " stroke-dasharray=\"" + text + "\"";
  }

  /** At most two decimals, without trailing zeros. */
  private static String n(double value) {
    long hundredths = Math.round(value * 100);
    if (hundredths % 100 == 0) {
      return Long.toString(hundredths / 100);
    }
    String sign = hundredths < 0 ? "-" : "";
    long size = Math.abs(hundredths);
    long rest = size % 100;
    return sign + size / 100 + "." + (rest % 10 == 0 ? rest / 10 : (rest < 10 ? "0" : "") + rest);
  }
}
