package org.cellherd.store.codec;

import org.cellherd.store.codec.SlotLayout.Group;

/** What the sum of the cells says about the pack's voltage, beside a slowly learnt difference. */
final class SumOfCells {

  private static final int TENTH_MV_A_MV = 10;

  private final double packDivisor;
  private long sum;
  private int count;
  private int countBefore;
  private double difference;

  SumOfCells(Divisors divisors) {
    packDivisor = divisors.of(Group.PACK);
  }

  void clear() {
    sum = 0;
    countBefore = count;
    count = 0;
  }

  void add(long tenthMv) {
    sum += tenthMv;
    count++;
  }

  /** The sum in mV: where the pack's first value is looked for. */
  long wholeMv() {
    return sum / TENTH_MV_A_MV;
  }

  /** By how much the pack's voltage should rise, in its units; 0 when other cells are missing. */
  double hint(NumberSlot pack) {
    return count == 0 || count != countBefore ? 0 : units() + difference - pack.last();
  }

  private double units() {
    return sum / (TENTH_MV_A_MV * packDivisor);
  }

  void learn(NumberSlot pack) {
    double now = pack.last() - units();
    difference = count == countBefore ? difference + (now - difference) / 16 : now;
  }
}
