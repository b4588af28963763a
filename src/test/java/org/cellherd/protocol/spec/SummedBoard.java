package org.cellherd.protocol.spec;

/** A board for tests: start, code, length, data, and the sum of all before it. */
final class SummedBoard {
  private static final String TEXT =
      """
      spec = 1
      id = "b"
      title = "b"
      %s[frame]
      layout = ["start", "code", "length", "data", "checksum"]
      start = "C9"
      [frame.length]
      [frame.checksum]
      kind = "sum8"
      """;

  private SummedBoard() {}

  /** The description of a board that talks by itself. */
  static String talking(String messages) {
    return TEXT.formatted("talk = \"listen\"\n") + messages;
  }

  /** The description of a board that is asked. */
  static String asked(String messages) {
    return TEXT.formatted("") + messages;
  }
}
