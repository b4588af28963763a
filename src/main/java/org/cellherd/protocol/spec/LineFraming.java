package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Locale;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.Scan;

/**
 * Lines of text, each with an end, perhaps a start and a check value in hex behind a mark. The data
 * of a frame is the line without its end and check value, its start included. Immutable.
 */
final class LineFraming implements Framing {

  /**
   * What makes it.
   *
   * @param start text with which each line begins, or none
   * @param end line feed or carriage return; a carriage return before a line feed is dropped
   * @param longest longest line, bytes
   * @param check the check value
   */
  public record Form(Bytes start, byte end, int longest, LineCheck check) {}

  private final Form form;

  public LineFraming(Form form) {
    this.form = form;
  }

  Form form() {
    return form;
  }

  @Override
  public int longest() {
    return form.longest();
  }

  @Override
  public int wireLength(long code, int dataLength) {
    return dataLength + 1;
  }

  @Override
  public Scan scan(byte[] buffer, int from, int to, Expectation expected, boolean silent) {
    for (int i = 0; i < form.start().length() && from + i < to; i++) {
      if ((buffer[from + i] & 0xFF) != form.start().at(i)) {
        return Scan.garbage(1);
      }
    }
    for (int at = from; at < to; at++) {
      byte b = buffer[at];
      if (b == form.end()) {
        return line(buffer, from, at);
      }
      boolean lineFeedAfterReturn = form.end() == '\n' && b == '\r';
      if (b < ' ' && b != '\t' && !lineFeedAfterReturn) {
        return Scan.garbage(at + 1 - from);
      }
      if (at > from && form.start().length() > 0 && startsAt(buffer, at, to)) {
        return Scan.garbage(at - from);
      }
      if (at - from > form.longest()) {
        return Scan.garbage(at - from);
      }
    }
    return silent ? Scan.garbage(to - from) : Scan.need(1, true);
  }

  private boolean startsAt(byte[] buffer, int at, int to) {
    if (at + form.start().length() > to) {
      return false;
    }
    for (int i = 0; i < form.start().length(); i++) {
      if ((buffer[at + i] & 0xFF) != form.start().at(i)) {
        return false;
      }
    }
    return true;
  }

  private Scan line(byte[] buffer, int from, int end) {
    int to = end > from && buffer[end - 1] == '\r' ? end - 1 : end;
    byte[] line = Arrays.copyOfRange(buffer, from, to);
    int length = end + 1 - from;
    if (line.length == 0) {
      return Scan.garbage(length);
    }
    if (form.check().isNone()) {
      return Scan.frame(length, new Frame(Frame.NONE, Frame.NONE, line, 0, false));
    }
    int mark = form.check().markIn(line);
    if (mark < 0) {
      return Scan.broken(true, Refusal.Reason.CHECKSUM, line.length, "the check value is missing");
    }
    long found = form.check().read(line, mark);
    long right = form.check().over(line, mark);
    if (found != right) {
      String text =
          String.format(Locale.ROOT, "check value is %X, computed %X", Math.max(found, 0), right);
      return Scan.broken(true, Refusal.Reason.CHECKSUM, mark, text);
    }
    byte[] data = Arrays.copyOf(line, mark);
    return Scan.frame(length, new Frame(Frame.NONE, Frame.NONE, data, 0, false));
  }

  @Override
  public byte[] build(long address, long code, byte[] data) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(data);
    if (!form.check().isNone()) {
      out.writeBytes(form.check().written(data).getBytes(StandardCharsets.US_ASCII));
    }
    if (form.end() == '\n') {
      out.write('\r');
    }
    out.write(form.end());
    return out.toByteArray();
  }

  @Override
  public byte[] buildException(long address, long code, int reason) {
    return new byte[0];
  }
}
