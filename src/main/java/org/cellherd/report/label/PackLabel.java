package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Worded;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.PdfWriter;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.TextFit;
import org.cellherd.report.scene.Theme;

/** A pack's label as SVG, PDF or PNG: black on white, the same facts in a QR code. */
public final class PackLabel {

  private static final double TENTHS = 10;

  /** A larger code reads no better, tenths of a mm. */
  private static final double MOST_CODE = 320;

  /** Smaller letters are hard to read, tenths of a mm: 4 points. */
  private static final double LEAST_LETTER = 14;

  /** All rows give way to a long one, but not further than to this share of their size. */
  private static final double LEAST_SHARE = 0.65;

  private static final double LINE = 1.2;

  private static final double FOLDED_LINE = 1.1;

  private static final double DOTS_PER_TENTH_AT_300_DPI = 300 / 254.0;

  private final LabelFacts facts;
  private final double width;
  private final double height;
  private final double margin;
  private final List<Shape> shapes = new ArrayList<>();

  private PackLabel(LabelFacts facts, Size size) {
    this.facts = facts;
    this.width = size.widthMm() * TENTHS;
    this.height = size.heightMm() * TENTHS;
    this.margin = height * 0.05;
  }

  /** SVG that prints at its size. */
  public static String svg(LabelFacts facts, Size size) {
    return SvgWriter.inMillimetres(scene(facts, size));
  }

  /** A PDF page of the label's size. */
  public static byte[] pdf(LabelFacts facts, Size size) {
    return PdfWriter.bytes(scene(facts, size));
  }

  /** A picture at 300 dpi. */
  public static byte[] png(LabelFacts facts, Size size) {
    return PngWriter.bytes(scene(facts, size), Theme.LIGHT, DOTS_PER_TENTH_AT_300_DPI);
  }

  /** The drawing, in tenths of a mm. */
  public static Drawing scene(LabelFacts facts, Size size) {
    return new PackLabel(facts, size).draw();
  }

  private Drawing draw() {
    double caution = height * 0.047;
    List<String> cautionLines = TextFit.wrap(Cautions.SHORT, caution, width - 2 * margin, 3);
    double cautionHeight = cautionLines.size() * caution * 1.2;
    double bottom = height - margin - cautionHeight - caution * 0.4;
    // A phone reads squares of a third of a millimetre; smaller ones only with luck.
    double side = Math.min(MOST_CODE, Math.min(bottom - margin * 0.4, width * 0.4));
    double room = width - margin * 1.4 - side;
    double top = capacity(title(room), room);
    lines(top, bottom, room);
    double codeX = width - margin * 0.4 - side;
    shapes.addAll(QrShape.in(codeX, margin * 0.4, side, facts.plainText()));
    double lineY = height - margin - cautionHeight + caution;
    for (String line : cautionLines) {
      words(margin, lineY, line, caution, false);
      lineY += caution * 1.2;
    }
    return new Drawing(width, height, "Label of " + facts.name(), facts.plainText(), shapes);
  }

  /** The pack's name, on two smaller lines when it is long; where the rest begins. */
  private double title(double room) {
    double full = height * 0.095;
    if (TextFit.width(facts.name(), full) <= room) {
      words(margin, margin + full * 0.85, facts.name(), full, true);
      return margin + full * 1.25;
    }
    double size = full * 0.68;
    double y = margin + size * 0.85;
    for (String line : TextFit.wrap(facts.name(), size, room, 2)) {
      words(margin, y, line, size, true);
      y += size * 1.1;
    }
    return y - size * 0.45;
  }

  /** What the pack holds: the largest figure after its name. */
  private double capacity(double top, double room) {
    String figure = (facts.tested().isEmpty() ? "Capacity " : "") + facts.capacity();
    double size = TextFit.sizeFor(figure, height * 0.1, height * 0.06, room);
    words(margin, top + size * 0.85, figure, size, true);
    return top + size * 1.05;
  }

  private void lines(double top, double bottom, double room) {
    double size = height * 0.062;
    double least = Math.max(size * LEAST_SHARE, Math.min(size, LEAST_LETTER));
    while (size > least && isUneven(size, room)) {
      size *= 0.98;
    }
    while (heightOf(size, room) > bottom - top) {
      size *= 0.98;
    }
    double y = top + size;
    for (LabelFacts.Line line : facts.lines()) {
      words(margin, y, line.name(), size, false);
      y = value(line.value(), y, size, room);
    }
    if (!facts.note().isEmpty()) {
      for (String line : TextFit.wrap(facts.note(), size, room, 2)) {
        words(margin, y, line, size, false);
        y += size * LINE;
      }
    }
    double small = TextFit.sizeFor(facts.dated(), size * 0.85, LEAST_LETTER * 0.8, room);
    words(margin, y, TextFit.cut(facts.dated(), small, room), small, false);
  }

  /** True where a row would be smaller than the others to stay on one line. */
  private boolean isUneven(double size, double room) {
    double place = TextFit.SPARE * (room - names(size));
    return facts.lines().stream()
        .map(LabelFacts.Line::value)
        .anyMatch(v -> isOneLine(v, size, room) && TextFit.width(v, size) > place);
  }

  private double heightOf(double size, double room) {
    double sum = size * LINE;
    for (LabelFacts.Line line : facts.lines()) {
      sum += heightOf(line.value(), size, room);
    }
    return sum + (facts.note().isEmpty() ? 0 : 2 * size * LINE);
  }

  private double heightOf(String value, double size, double room) {
    return isOneLine(value, size, room)
        ? size * LINE
        : folded(size) * FOLDED_LINE + size * Math.sqrt(LINE);
  }

  private boolean isOneLine(String value, double size, double room) {
    double place = TextFit.SPARE * (room - names(size));
    return TextFit.width(value, smallest(size)) <= place;
  }

  /** Writes a value, smaller or on two lines when it is long; where the next line stands. */
  private double value(String value, double y, double size, double room) {
    double x = margin + names(size);
    double place = room - names(size);
    if (isOneLine(value, size, room)) {
      double fits = TextFit.sizeFor(value, size, smallest(size), place);
      words(x, y, TextFit.cut(value, fits, place), fits, true);
    } else {
      double lower = y;
      for (String line : TextFit.wrap(value, folded(size), place, 2)) {
        words(x, lower, line, folded(size), true);
        lower += folded(size) * FOLDED_LINE;
      }
    }
    return y + heightOf(value, size, room);
  }

  /** As wide as the longest name. */
  private double names(double size) {
    return size * 0.4
        + facts.lines().stream()
            .mapToDouble(line -> TextFit.width(line.name(), size))
            .max()
            .orElse(0);
  }

  /** A long value may become this small. */
  private static double smallest(double size) {
    return Math.max(size * 0.6, Math.min(size, LEAST_LETTER));
  }

  /** On two lines it is small, too. */
  private static double folded(double size) {
    return Math.max(size * 0.75, smallest(size));
  }

  private void words(double x, double y, String text, double size, boolean bold) {
    Shape.Letter letter = Shape.Letter.of(size, Ink.INK);
    shapes.add(new Shape.Words(x, y, text, bold ? letter.strong() : letter));
  }

  /** Common label sizes, in mm, wide side first. */
  public enum Size implements Worded {
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

    Size(int widthMm, int heightMm) {
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
    public static Optional<Size> ofWord(String word) {
      return Worded.find(values(), word);
    }
  }
}
