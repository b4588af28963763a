package org.cellherd.store.codec;

import org.cellherd.store.codec.SlotLayout.Group;
import org.cellherd.store.codec.SlotLayout.Single;

/** Codes one reading after the other, in either direction. */
final class RowCoder {

  private final BitCoder coder;
  private final boolean hasCurrent;
  private final boolean hasPack;
  private final int firstCell;
  private final int packSlot;
  private final int firstTemperature;
  private final int firstBits;
  private final Divisors divisors;
  private final Shapes shapes;
  private final NumberSlot time;
  private final NumberSlot[] numbers;
  private final BitsSlot[] bits;
  private final SumOfCells sum;
  private long beats;
  private double currentStep;

  static int contexts(SlotLayout layout) {
    return Group.COUNT * Residuals.CONTEXTS
        + BitsSlot.CONTEXTS * layout.slots()
        + Shapes.contexts(layout.slots());
  }

  RowCoder(BitCoder coder, SlotLayout layout, Divisors divisors) {
    this.coder = coder;
    hasCurrent = layout.has(Single.CURRENT);
    hasPack = layout.has(Single.PACK);
    firstCell = layout.firstCell();
    packSlot = layout.pack();
    firstTemperature = layout.firstTemperature();
    firstBits = layout.firstBits();
    this.divisors = divisors;
    Group[] groups = layout.groups();
    numbers = new NumberSlot[groups.length];
    bits = new BitsSlot[groups.length];
    int bitsBase = Group.COUNT * Residuals.CONTEXTS;
    for (int slot = 0; slot < groups.length; slot++) {
      int base = bitsBase + slot * BitsSlot.CONTEXTS;
      bits[slot] = new BitsSlot(coder, residuals(groups[slot]), base);
      numbers[slot] = number(groups[slot]);
    }
    time = number(Group.TIME);
    shapes = new Shapes(coder, layout, bitsBase + groups.length * BitsSlot.CONTEXTS);
    sum = new SumOfCells(divisors);
  }

  private Residuals residuals(Group group) {
    return new Residuals(coder, group.index * Residuals.CONTEXTS);
  }

  private NumberSlot number(Group group) {
    return new NumberSlot(residuals(group), divisors.of(group));
  }

  /** Codes a frame; when reading, fills it, its time counted from the block's start. */
  void code(SlotRow frame) {
    shapes.code(frame);
    frame.time = beats + time.code(frame.time - beats, 0, 0, 0);
    beats += divisors.period();
    current(frame);
    cells(frame);
    pack(frame);
    rest(frame);
  }

  private void current(SlotRow frame) {
    currentStep = 0;
    if (hasCurrent && frame.present[0]) {
      frame.values[0] = numbers[0].code(frame.values[0], 0, 0, 0);
      currentStep = numbers[0].step();
    }
  }

  private void cells(SlotRow frame) {
    double errors = 0;
    int seen = 0;
    long neighbour = 0;
    sum.clear();
    for (int slot = firstCell; slot < packSlot; slot++) {
      if (frame.present[slot]) {
        double common = seen == 0 ? 0 : errors / seen;
        NumberSlot cell = numbers[slot];
        neighbour = cell.code(frame.values[slot], neighbour, currentStep, common);
        frame.values[slot] = neighbour;
        errors += cell.error();
        seen++;
        sum.add(neighbour);
      }
    }
  }

  private void pack(SlotRow frame) {
    if (hasPack && frame.present[packSlot]) {
      NumberSlot pack = numbers[packSlot];
      double hint = sum.hint(pack);
      frame.values[packSlot] = pack.code(frame.values[packSlot], sum.wholeMv(), hint, currentStep);
      sum.learn(pack);
    }
  }

  private void rest(SlotRow frame) {
    long neighbour = 0;
    for (int slot = firstTemperature; slot < numbers.length; slot++) {
      if (frame.present[slot]) {
        long value = frame.values[slot];
        neighbour =
            slot < firstBits ? numbers[slot].code(value, neighbour, 0, 0) : bits[slot].code(value);
        frame.values[slot] = neighbour;
      }
    }
  }
}
