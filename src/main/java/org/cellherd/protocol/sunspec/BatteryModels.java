package org.cellherd.protocol.sunspec;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.pack.Channel;
import org.cellherd.protocol.spec.Draft;
import org.cellherd.protocol.spec.Target;

/** From the battery models read to a draft of a reading. Used once. */
final class BatteryModels {
  private static final int DISCHARGING = 3;
  private static final int CHARGING = 4;

  private static final Map<Integer, String> CHARGE_WORDS =
      Map.of(
          1,
          "off",
          2,
          "empty",
          3,
          "discharging",
          4,
          "charging",
          5,
          "full",
          6,
          "holding",
          7,
          "testing");

  private static final Map<Integer, String> STATE_WORDS =
      Map.of(
          1,
          "disconnected",
          2,
          "initializing",
          3,
          "connected",
          4,
          "standby",
          5,
          "state-of-charge protection",
          6,
          "suspending",
          99,
          "fault");

  private final List<Model> models;
  private final int string;
  private final Draft draft = new Draft();

  /**
   * A reading of a device, or of a string of it.
   *
   * @param models of the whole bank, and of one string
   * @param string the string from 1; 0 where there is but one, which then is the bank
   */
  BatteryModels(List<Model> models, int string) {
    this.models = models;
    this.string = string;
  }

  Draft draft() {
    for (Model model : models) {
      switch (model.id()) {
        case 1 -> common(model);
        case 802 -> base(model);
        case 803 -> {
          if (string == 0) {
            bank(model);
          } else if (!has(804)) {
            stringOfBank(model);
          }
        }
        case 804 -> string(model);
        default -> {}
      }
    }
    modules();
    return draft;
  }

  private boolean has(int id) {
    return models.stream().anyMatch(m -> m.id() == id);
  }

  private void common(Model m) {
    draft.identity(String.join(" ", m.text(Point.MN), m.text(Point.MD), m.text(Point.SN)).strip());
    draft.extra("version", m.text(Point.VR));
  }

  private void base(Model m) {
    if (string == 0) {
      measured(m);
    }
    shown(m, Point.SOH, "state of health", "%");
    shown(m, Point.CYCLES, "cycles", "");
    shown(m, Point.AH_RATING, "rated charge", "Ah");
    word(m, Point.STATE, "state", STATE_WORDS);
    word(m, Point.CHARGE_STATUS, "charge status", CHARGE_WORDS);
  }

  private void measured(Model m) {
    put(m, Point.SOC, Target.SOC, 10);
    put(m, Point.VOLTAGE, Target.PACK_VOLTAGE, 1000);
    m.raw(Point.EVENT1).ifPresent(bits -> draft.put(Target.ALARMS, 0, bits));
    EventWords.extra(m.raw(Point.EVENT1), draft);
    current(m);
  }

  /** The model files do not define the sign of the current: the charge status decides. */
  private void current(Model m) {
    OptionalLong raw = m.raw(Point.CURRENT);
    if (raw.isEmpty()) {
      return;
    }
    OptionalLong size = inside(m, Point.CURRENT, raw.getAsLong(), 1000);
    if (size.isEmpty()) {
      return;
    }
    long inside = size.getAsLong();
    long status = m.raw(Point.CHARGE_STATUS).orElse(0);
    if (status == DISCHARGING) {
      inside = -Math.abs(inside);
    } else if (status == CHARGING) {
      inside = Math.abs(inside);
    } else {
      draft.extra("current sign", "not confirmed by the charge status");
    }
    draft.put(Target.CURRENT, 0, inside);
  }

  private void bank(Model m) {
    if (!has(805)) {
      putNumbered(m, Point.BANK_TEMP_MAX, 1);
      putNumbered(m, Point.BANK_TEMP_MIN, 2);
    }
    shown(m, Point.BANK_CELLS_BALANCING, "cells balancing", "");
  }

  private void putNumbered(Model m, Point point, int number) {
    m.raw(point)
        .ifPresent(
            raw ->
                inside(m, point, raw, 10)
                    .ifPresent(
                        v -> draft.putDoubting(point.published(), Target.TEMPERATURE, number, v)));
  }

  private void string(Model m) {
    if (has(802) && string == 0) {
      return;
    }
    put(m, Point.STRING_SOC, Target.SOC, 10);
    put(m, Point.STRING_VOLTAGE, Target.PACK_VOLTAGE, 1000);
    m.raw(Point.STRING_CURRENT)
        .ifPresent(raw -> stringCurrent(inside(m, Point.STRING_CURRENT, raw, 1000)));
    m.raw(Point.STRING_EVENT1).ifPresent(bits -> draft.put(Target.ALARMS, 0, bits));
    EventWords.extra(m.raw(Point.STRING_EVENT1), draft);
  }

  /** Where no model tells of a string alone, the bank has a block of each. */
  private void stringOfBank(Model m) {
    int at = Point.BANK_HEADER + (string - 1) * Point.STRING_REGISTERS;
    Model.unsigned16(m.register(at + Point.BLOCK_SOC))
        .ifPresent(
            raw ->
                scaled("StrSoC", raw, scale(m, Point.BLOCK_SOC_SCALE, "StrSoC"), 10)
                    .ifPresent(v -> draft.putDoubting("StrSoC", Target.SOC, 0, v)));
    Model.signed16(m.register(at + Point.BLOCK_CURRENT))
        .ifPresent(
            raw ->
                stringCurrent(
                    scaled("StrA", raw, scale(m, Point.BLOCK_CURRENT_SCALE, "StrA"), 1000)));
  }

  /**
   * A string's current has the sign that the bank's has, and the bank's charge status says which
   * way that is; a string that is charged by the others while the bank is discharged is told so.
   */
  private void stringCurrent(OptionalLong told) {
    int sign =
        models.stream().filter(m -> m.id() == 802).mapToInt(this::sign).findFirst().orElse(0);
    if (sign == 0) {
      draft.extra("current sign", "not confirmed by the charge status");
    }
    told.ifPresent(v -> draft.put(Target.CURRENT, 0, sign < 0 ? -v : v));
  }

  /** 1 where the bank tells its charging current as positive, -1 as negative, 0 unknown. */
  private int sign(Model bank) {
    int way = Long.signum(bank.raw(Point.CURRENT).orElse(0));
    long status = bank.raw(Point.CHARGE_STATUS).orElse(0);
    return status == CHARGING ? way : status == DISCHARGING ? -way : 0;
  }

  // ---- cells -----------------------------------------------------------------------------------

  private void modules() {
    int first = 1;
    for (Model m : models) {
      if (m.id() == 805) {
        first = cells(m, first);
      }
    }
  }

  /** Cells by the model's length, which the published file says, compared with the cell count. */
  private int cells(Model m, int first) {
    int count = Math.max(0, (m.length() - Point.MODULE_HEADER) / Point.CELL_REGISTERS);
    long told = m.raw(Point.CELL_COUNT).orElse(count);
    if (told != count) {
      draft.extra("cell count", "the module says " + told + ", its length holds " + count);
      count = (int) Math.min(told, count);
    }
    int voltageScale = scale(m, Point.CELL_VOLTAGE_SCALE, "cell voltage");
    int temperatureScale = scale(m, Point.CELL_TEMPERATURE_SCALE, "cell temperature");
    for (int i = 0; i < count && first + i <= Channel.MAX_NUMBER; i++) {
      int at = Point.MODULE_HEADER + i * Point.CELL_REGISTERS;
      int number = first + i;
      Model.unsigned16(m.register(at))
          .ifPresent(
              v -> {
                String name = "cell " + number;
                scaled(name, v, voltageScale, 10_000)
                    .ifPresent(inside -> draft.putDoubting(name, Target.CELL, number, inside));
              });
      Model.signed16(m.register(at + 1))
          .ifPresent(
              v -> {
                String name = "temperature of cell " + number;
                scaled(name, v, temperatureScale, 10)
                    .ifPresent(
                        inside -> draft.putDoubting(name, Target.TEMPERATURE, number, inside));
              });
      int status = m.register(at + 3);
      if (status != 0xFFFF || m.register(at + 2) != 0xFFFF) {
        draft.put(Target.BLEEDING, number, status & 1);
      }
    }
    return first + count;
  }

  // ---- numbers ---------------------------------------------------------------------------------

  private void put(Model m, Point point, Target target, int factor) {
    m.raw(point)
        .ifPresent(
            raw ->
                inside(m, point, raw, factor)
                    .ifPresent(v -> draft.putDoubting(point.published(), target, 0, v)));
  }

  private OptionalLong inside(Model m, Point point, long raw, int factor) {
    String name = point.published();
    return scaled(name, raw, scale(m, point.scaleOffset(), name), factor);
  }

  /** The value inside; empty, and said, where the device's scale makes it too large for one. */
  private OptionalLong scaled(String name, long raw, int power, int factor) {
    double value = Math.floor(raw * (double) factor * Math.pow(10, power) + 0.5);
    if (Math.abs(value) > Integer.MAX_VALUE) {
      draft.doubt(name, "is " + raw + " x 10^" + power + ", more than a reading can hold");
      return OptionalLong.empty();
    }
    return OptionalLong.of((long) value);
  }

  private int scale(Model m, int offset, String name) {
    if (offset < 0) {
      return 0;
    }
    OptionalInt scale = m.scale(offset);
    if (scale.isEmpty()) {
      draft.extra("scale of " + name, "not implemented, taken as 1");
    }
    return scale.orElse(0);
  }

  private void shown(Model m, Point point, String name, String unit) {
    OptionalLong raw = m.raw(point);
    if (raw.isPresent()) {
      double value = raw.getAsLong() * Math.pow(10, scale(m, point.scaleOffset(), name));
      String text = value == Math.rint(value) ? Long.toString((long) value) : oneDecimal(value);
      draft.extra(name, unit.isEmpty() ? text : text + " " + unit);
    }
  }

  private static String oneDecimal(double value) {
    return String.format(Locale.ROOT, "%.1f", value);
  }

  private void word(Model m, Point point, String name, Map<Integer, String> words) {
    m.raw(point)
        .ifPresent(v -> draft.extra(name, words.getOrDefault((int) v, "unknown (" + v + ")")));
  }
}
