package org.cellherd.protocol.sunspec;

import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import org.cellherd.pack.Reading;

/** The map of an invented SunSpec battery: models 1, 802 and 805 from address 40000. Used once. */
final class MapWriter {
  private static final int NO_SCALE = 0x8000;
  private static final int TENTHS = -1 & 0xFFFF;
  private static final int HUNDREDTHS = -2 & 0xFFFF;

  private final Map<Integer, Integer> registers = new HashMap<>();
  private final Reading reading;
  private int start = 40_002;

  private MapWriter(Reading reading) {
    this.reading = reading;
  }

  static Map<Integer, Integer> registers(Reading reading) {
    MapWriter writer = new MapWriter(reading);
    writer.registers.put(40_000, 0x5375);
    writer.registers.put(40_001, 0x6E53);
    writer.common();
    writer.base();
    writer.module();
    writer.begin(0xFFFF, 0);
    return writer.registers;
  }

  private void begin(int id, int length) {
    for (int i = 2; i < length + 2; i++) {
      registers.put(start + i, 0xFFFF);
    }
    registers.put(start, id);
    registers.put(start + 1, length);
  }

  private void set(int offset, long value) {
    registers.put(start + offset, (int) (value & 0xFFFF));
  }

  private void set(Point point, long value) {
    if (point.registers() == 2) {
      set(point.offset(), value >>> 16);
      set(point.offset() + 1, value);
    } else {
      set(point.offset(), value);
    }
  }

  private void text(Point point, String text) {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    for (int i = 0; i < point.registers(); i++) {
      int high = 2 * i < bytes.length ? bytes[2 * i] & 0xFF : 0;
      int low = 2 * i + 1 < bytes.length ? bytes[2 * i + 1] & 0xFF : 0;
      set(point.offset() + i, (high << 8) | low);
    }
  }

  private void common() {
    begin(1, 66);
    text(Point.MN, "invented");
    text(Point.MD, "invented battery");
    text(Point.VR, "1");
    text(Point.SN, "0001");
    start += 68;
  }

  private void base() {
    begin(802, 62);
    for (int scale = 52; scale <= 63; scale++) {
      set(scale, NO_SCALE);
    }
    set(Point.SOC.scaleOffset(), TENTHS);
    set(Point.VOLTAGE.scaleOffset(), HUNDREDTHS);
    set(Point.CURRENT.scaleOffset(), HUNDREDTHS);
    reading.socTenthPct().ifPresent(v -> set(Point.SOC, v));
    reading.packMv().ifPresent(v -> set(Point.VOLTAGE, Math.round(v / 10.0)));
    reading
        .currentMa()
        .ifPresent(
            v -> {
              set(Point.CURRENT, Math.max(-32_767, Math.min(32_767, Math.round(v / 10.0))));
              set(Point.CHARGE_STATUS, v < 0 ? 3 : v > 0 ? 4 : 6);
            });
    reading.boardAlarms().ifPresent(v -> set(Point.EVENT1, v));
    set(Point.STATE, 3);
    start += 64;
  }

  private void module() {
    int cells = reading.cells().count();
    begin(805, Point.MODULE_HEADER - 2 + Point.CELL_REGISTERS * cells);
    set(Point.CELL_COUNT, cells);
    set(Point.CELL_VOLTAGE_SCALE, -4);
    set(Point.CELL_TEMPERATURE_SCALE, -1);
    text(Point.MODULE_SERIAL, "M1");
    for (int cell = 1; cell <= cells; cell++) {
      int at = Point.MODULE_HEADER + (cell - 1) * Point.CELL_REGISTERS;
      set(at, reading.cells().has(cell) ? reading.cells().tenthMv(cell) : 0xFFFF);
      boolean sensed = reading.temperatures().has(cell);
      set(at + 1, sensed ? reading.temperatures().tenthC(cell) : 0x8000);
      set(at + 2, 0);
      set(at + 3, reading.bleedMask().orElse(0) >>> (cell - 1) & 1);
    }
    start += Point.MODULE_HEADER + Point.CELL_REGISTERS * cells;
  }
}
