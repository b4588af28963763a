package org.cellherd.report.label;

import io.nayuki.qrcodegen.DataTooLongException;
import io.nayuki.qrcodegen.QrCode;
import io.nayuki.qrcodegen.QrSegment;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Shape;

/** Plain text as a QR code of dark boxes. */
final class QrShape {

  /** The quiet zone around a code, in its own squares (ISO/IEC 18004; from memory). */
  private static final int QUIET = 4;

  /** The number of this set of letters among the extended channel interpretations of AIM. */
  private static final int UTF_8 = 26;

  /** Larger codes have squares too small for a phone at arm's length. */
  private static final int MOST_BYTES = 600;

  /**
   * A dot of a printer and of our pictures, tenths of a mm: squares are whole numbers of them, and
   * begin at one, or they come out of different widths and are misread.
   */
  private static final double DOT = 254.0 / 300;

  /** Said at the end of what is not whole. */
  private static final String SHORTENED = " \u2026 (shortened)";

  private QrShape() {}

  /**
   * Boxes within a square of this side, quiet zone included: along rows and along columns, so that
   * no viewer draws a hairline between two of them.
   */
  static List<Shape> in(double x, double y, double side, String text) {
    QrCode code = encode(text);
    int squares = code.size + 2 * QUIET;
    double square = Math.max(1, Math.floor(side / squares / DOT)) * DOT;
    double left = Math.floor((x + side - squares * square) / DOT) * DOT;
    double top = Math.ceil(y / DOT) * DOT;
    List<Shape> shapes = new ArrayList<>();
    for (boolean isRow : new boolean[] {true, false}) {
      for (int line = 0; line < code.size; line++) {
        for (int at = 0; at < code.size; at++) {
          int run = run(code, at, line, isRow);
          if (run > 0) {
            double along = (QUIET + at) * square;
            double across = (QUIET + line) * square;
            shapes.add(
                isRow
                    ? new Shape.Box(left + along, top + across, run * square, square, Ink.INK)
                    : new Shape.Box(left + across, top + along, square, run * square, Ink.INK));
            at += run - 1;
          }
        }
      }
    }
    return shapes;
  }

  private static int run(QrCode code, int from, int line, boolean isRow) {
    int end = from;
    while (isRow ? code.getModule(end, line) : code.getModule(line, end)) {
      end++;
    }
    return end - from;
  }

  /** Large squares read better than much redundancy; what fits the same size is added anyway. */
  private static QrCode encode(String text) {
    try {
      return QrCode.encodeSegments(segments(bounded(text)), QrCode.Ecc.LOW);
    } catch (DataTooLongException e) {
      throw new IllegalStateException("bounded text does not fit a QR code", e);
    }
  }

  /** Readers guess which letters the bytes are unless the code says so itself. */
  private static List<QrSegment> segments(String text) {
    List<QrSegment> segments = new ArrayList<>();
    if (text.chars().anyMatch(letter -> letter > 127)) {
      segments.add(QrSegment.makeEci(UTF_8));
    }
    segments.addAll(QrSegment.makeSegments(text));
    return segments;
  }

  private static String bounded(String text) {
    if (bytes(text) <= MOST_BYTES) {
      return text;
    }
    String kept = text;
    while (bytes(kept) + bytes(SHORTENED) > MOST_BYTES) {
      kept = kept.substring(0, kept.offsetByCodePoints(kept.length(), -1));
    }
    return kept + SHORTENED;
  }

  private static int bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8).length;
  }
}
