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

  private QrShape() {}

  /**
   * Boxes within a square of this side, quiet zone included: along rows and along columns, so that
   * no viewer draws a hairline between two of them.
   */
  static List<Shape> in(double x, double y, double side, String text) {
    QrCode code = encode(text);
    double square = side / (code.size + 2 * QUIET);
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
                    ? new Shape.Box(x + along, y + across, run * square, square, Ink.INK)
                    : new Shape.Box(x + across, y + along, square, run * square, Ink.INK));
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
    String kept = text;
    while (kept.getBytes(StandardCharsets.UTF_8).length > MOST_BYTES) {
      kept = kept.substring(0, kept.offsetByCodePoints(kept.length(), -1));
    }
    return kept;
  }
}
