package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Cautions;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.PdfWriter;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.Scene;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;

/** A pack's label as SVG, PDF or PNG: black on white, the same facts in a QR code. */
public final class PackLabel {

  private static final double TENTHS = 10;

  /** A larger code reads no better, tenths of a mm. */
  private static final double MOST_CODE = 320;

  private static final double DOTS_PER_TENTH_AT_300_DPI = 300 / 254.0;

  private final LabelFacts facts;
  private final double width;
  private final double height;
  private final double margin;
  private final List<Shape> shapes = new ArrayList<>();

  private PackLabel(LabelFacts facts, LabelSize size) {
    this.facts = facts;
    this.width = size.widthMm() * TENTHS;
    this.height = size.heightMm() * TENTHS;
    this.margin = height * 0.05;
  }

  /** SVG that prints at its size. */
  public static String svg(LabelFacts facts, LabelSize size) {
    return SvgWriter.inMillimetres(scene(facts, size));
  }

  /** A PDF page of the label's size. */
  public static byte[] pdf(LabelFacts facts, LabelSize size) {
    return PdfWriter.bytes(scene(facts, size));
  }

  /** A picture at 300 dpi. */
  public static byte[] png(LabelFacts facts, LabelSize size) {
    return PngWriter.bytes(scene(facts, size), Theme.LIGHT, DOTS_PER_TENTH_AT_300_DPI);
  }

  /** The drawing, in tenths of a mm. */
  public static Scene scene(LabelFacts facts, LabelSize size) {
    return new PackLabel(facts, size).draw();
  }

  private Scene draw() {
    double caution = height * 0.047;
    List<String> cautionLines = TextFit.wrap(Cautions.SHORT, caution, width - 2 * margin, 3);
    double cautionHeight = cautionLines.size() * caution * 1.2;
    double bottom = height - margin - cautionHeight - caution * 0.4;
    // A phone reads squares of a third of a millimetre; smaller ones only with luck.
    double side = Math.min(MOST_CODE, Math.min(bottom - margin * 0.4, width * 0.4));
    double room = width - margin * 1.4 - side;
    double top = title(room);
    lines(top, bottom, room);
    double codeX = width - margin * 0.4 - side;
    shapes.addAll(QrShape.in(codeX, margin * 0.4, side, facts.plainText()));
    double lineY = height - margin - cautionHeight + caution;
    for (String line : cautionLines) {
      words(margin, lineY, line, caution, false);
      lineY += caution * 1.2;
    }
    return new Scene(width, height, "Label of " + facts.name(), facts.plainText(), shapes);
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

  private void lines(double top, double bottom, double room) {
    int count = facts.lines().size() + 1 + (facts.note().isEmpty() ? 0 : 2);
    double size = sizeFor(room, Math.min((bottom - top) / count / 1.2, height * 0.062));
    double names = TextFit.width("Cell limits", size) + size * 0.6;
    double y = top + size;
    for (LabelFacts.Line line : facts.lines()) {
      words(margin, y, line.name(), size, false);
      double smaller = TextFit.sizeFor(line.value(), size, room - names);
      words(margin + names, y, TextFit.cut(line.value(), smaller, room - names), smaller, true);
      y += size * 1.2;
    }
    if (!facts.note().isEmpty()) {
      for (String line : TextFit.wrap(facts.note(), size, room, 2)) {
        words(margin, y, line, size, false);
        y += size * 1.2;
      }
    }
    words(margin, y, "Label of " + facts.made(), size * 0.85, false);
  }

  /** The size of the lines, a little smaller where one of them would else be cut. */
  private double sizeFor(double room, double wanted) {
    double longest = 0;
    for (LabelFacts.Line line : facts.lines()) {
      longest = Math.max(longest, TextFit.width(line.value(), wanted) * TextFit.SMALLEST);
    }
    double names = TextFit.width("Cell limits", wanted) + wanted * 0.6;
    double fits = wanted * TextFit.SPARE * room / (longest + names);
    return Math.min(wanted, Math.max(fits, wanted * 0.75));
  }

  private void words(double x, double y, String text, double size, boolean bold) {
    Shape.Letter letter = Shape.Letter.of(size, Ink.INK);
    shapes.add(new Shape.Words(x, y, text, bold ? letter.strong() : letter));
  }
}
