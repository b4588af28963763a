package org.cellherd.protocol;

/** An invented board whose two blocks of registers are of one length: their answers look alike. */
public final class TwinBlocks {
  private static final String TWO =
      """
      spec = 1
      id = "twins"
      title = "An invented board whose two blocks of registers are of one length"
      [frame]
      kind = "modbus-rtu"
      [[message]]
      name = "low"
      function = 3
      base = 0
      register = 0
      count = 2
      field = [{ as = "cell", type = "u16", repeat = 2, unit = "mV" }]
      [[message]]
      name = "high"
      function = 3
      base = 0
      register = 2
      count = 2
      field = [{ as = "cell", number = 3, type = "u16", repeat = 2, unit = "mV" }]
      """;

  private TwinBlocks() {}

  /** Its description, so many cells in each block. */
  public static String of(int cells) {
    return TWO.replace("count = 2", "count = " + cells)
        .replace("repeat = 2", "repeat = " + cells)
        .replace("register = 2", "register = " + cells)
        .replace("number = 3", "number = " + (cells + 1));
  }
}
