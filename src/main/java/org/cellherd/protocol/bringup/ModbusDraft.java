package org.cellherd.protocol.bringup;

import java.util.HexFormat;
import java.util.List;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.bringup.Structure.Kind;

/** The description of a board that turns out to speak Modbus RTU. */
final class ModbusDraft {
  private static final int HEADER = 3;
  private static final int REQUEST = 8;

  private ModbusDraft() {}

  /** True when requests and answers are those of reading registers. */
  static boolean applies(Structure s) {
    boolean isCheck =
        s.checksum()
            .filter(f -> f.checksum().word().equals("crc-16/modbus"))
            .filter(f -> f.form().equals(Form.atEnd(0, 0, true)))
            .isPresent();
    return isCheck && s.isAsked() && s.samples().stream().allMatch(ModbusDraft::isRead);
  }

  private static boolean isRead(Sample sample) {
    byte[] request = sample.request();
    return request.length == REQUEST
        && sample.length() >= HEADER + 4
        && (request[0] & 0xFF) == sample.at(0)
        && (request[1] & 0xFF) == sample.at(1)
        && (sample.at(1) == 3 || sample.at(1) == 4)
        && sample.at(2) == 2 * number(request, 4)
        && sample.length() == sample.at(2) + 5;
  }

  private static int number(byte[] bytes, int at) {
    return (bytes[at] & 0xFF) << 8 | (bytes[at + 1] & 0xFF);
  }

  static void write(Structure s, StringBuilder out) {
    out.append("# This is Modbus RTU; the board's address is ")
        .append(s.samples().get(0).at(0))
        .append(".\n\n[frame]\nkind = \"modbus-rtu\"\n");
    RowNumbers numbers = new RowNumbers();
    for (int i = 0; i < s.kinds().size(); i++) {
      message(s.kinds().get(i), i + 1, numbers, out);
    }
  }

  private static void message(Kind kind, int number, RowNumbers numbers, StringBuilder out) {
    byte[] request = HexFormat.of().parseHex(kind.request());
    int first = number(request, 2);
    out.append("\n[[message]]\nname = \"message_").append(number).append("\"\nfunction = ");
    out.append(request[1]).append("\nbase = 0\nregister = ").append(first);
    List<ColumnGuess> guesses = fields(kind);
    out.append("\ncount = ").append(number(request, 4));
    out.append(guesses.isEmpty() ? "\noptional = true" : "").append("\nfield = [\n");
    for (ColumnGuess guess : guesses) {
      int at = guess.at() - HEADER;
      out.append(at % 2 == 0 ? "  { register = " + (first + at / 2) : "  { at = " + at);
      out.append(", ").append(guess.field().orElseThrow()).append(numbers.next(guess));
      out.append(" }, # ").append(guess.what()).append('\n');
    }
    if (guesses.isEmpty()) {
      out.append("  { register = ").append(first).append(", name = \"first\", type = \"u16\" },\n");
    }
    out.append("]\n");
  }

  /** Registers are whole words; what begins within one is placed by its byte. */
  private static List<ColumnGuess> fields(Kind kind) {
    return kind.guesses().stream()
        .filter(g -> g.field().isPresent())
        .filter(g -> g.at() >= HEADER)
        .toList();
  }
}
