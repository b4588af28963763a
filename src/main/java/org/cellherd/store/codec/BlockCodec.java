package org.cellherd.store.codec;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Packs readings into a block and back, bit for bit. */
public final class BlockCodec {

  /** Most readings of one block. */
  public static final int MAX_READINGS = 1 << 14;

  private BlockCodec() {}

  /** The block of 1 to {@link #MAX_READINGS} readings, times relative to the first. */
  public static Packed encode(List<Reading> readings) {
    StateWriter out = new StateWriter();
    out.putLong(readings.size());
    long start = readings.get(0).timeMs();
    for (Reading r : readings) {
      out.putLong(r.timeMs() - start);
      out.putLong(r.cells().count());
      for (int c = 1; c <= r.cells().count(); c++) {
        out.putLong(r.cells().has(c) ? r.cells().tenthMv(c) : Integer.MIN_VALUE);
      }
      out.putLong(r.temperatures().count());
      for (int c = 1; c <= r.temperatures().count(); c++) {
        out.putLong(r.temperatures().has(c) ? r.temperatures().tenthC(c) : Integer.MIN_VALUE);
      }
      put(out, r.currentMa());
      put(out, r.packMv());
      put(out, r.socTenthPct());
      put(out, r.chargeSwitch());
      put(out, r.dischargeSwitch());
      put(out, r.boardMah());
      out.putBoolean(r.bleedMask().isPresent()).putLong(r.bleedMask().orElse(0));
      out.putBoolean(r.boardAlarms().isPresent()).putLong(r.boardAlarms().orElse(0));
    }
    return new Packed(out.toBytes());
  }

  private static void put(StateWriter out, OptionalInt value) {
    out.putBoolean(value.isPresent()).putLong(value.orElse(0));
  }

  /** The readings of a block whose first reading is at {@code startMs}. */
  public static List<Reading> decode(Packed block, long startMs) throws BlockDamaged {
    try {
      StateReader in = new StateReader(block.bytes());
      List<Reading> readings = new ArrayList<>();
      long n = in.getLong();
      for (long i = 0; i < n; i++) {
        readings.add(reading(in, startMs));
      }
      return readings;
    } catch (StateMismatch | IllegalArgumentException e) {
      throw new BlockDamaged(String.valueOf(e.getMessage()));
    }
  }

  /** How many readings a block claims to hold; 0 where it makes no sense. */
  public static int count(Packed block) {
    try {
      return new StateReader(block.bytes()).getInt();
    } catch (StateMismatch e) {
      return 0;
    }
  }

  private static Reading reading(StateReader in, long startMs) {
    Reading.Builder b = Reading.at(startMs + in.getLong());
    b.cells(CellVoltages.ofTenthMv(ints(in)));
    b.temperatures(Temperatures.ofTenthC(ints(in)));
    if (in.getBoolean()) {
      b.currentMa(in.getInt());
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.packMv(in.getInt());
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.socTenthPct(in.getInt());
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.chargeSwitch(in.getInt() == 1);
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.dischargeSwitch(in.getInt() == 1);
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.boardMah(in.getInt());
    } else {
      in.getInt();
    }
    if (in.getBoolean()) {
      b.bleedMask(in.getLong());
    } else {
      in.getLong();
    }
    if (in.getBoolean()) {
      b.boardAlarms(in.getLong());
    } else {
      in.getLong();
    }
    return b.build();
  }

  private static int[] ints(StateReader in) {
    int[] values = new int[Math.min(in.getInt(), 65)];
    for (int i = 0; i < values.length; i++) {
      values[i] = in.getInt();
    }
    return values;
  }
}
