package org.cellherd.alert;

import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** A reading with one value of one channel drawn wrong: impossible, or merely not so. */
final class WrongValue {
  private static final List<Integer> CELLS = List.of(0, 1, 65_535, 50_001, -32_768, 20_000, 43_000);
  private static final List<Integer> TENTHS = List.of(-1080, -2732, 32_767, 1270, -400, 900, 2550);
  private static final List<Integer> AMPS = List.of(-655_360, 655_350, 327_670, -327_680, 0);
  private static final List<Integer> SOCS = List.of(1270, -10, 65_535, 0, 1000);

  private WrongValue() {}

  static Reading of(Random random, PackPlan plan, Reading right) {
    Kind kind = List.of(Kind.values()).get(random.nextInt(Kind.values().length));
    return switch (kind) {
      case CELL -> with(right).cells(cells(random, right.cells())).build();
      case TEMPERATURE -> with(right).temperatures(temps(random, right.temperatures())).build();
      case CURRENT -> with(right).currentMa(current(random, plan)).build();
      case PACK_VOLTAGE -> with(right).packMv(random.nextInt(70_000)).build();
      case SOC -> with(right).socTenthPct(pick(random, SOCS)).build();
      case BLEED_MASK, BOARD_ALARMS -> with(right).value(kind, random.nextInt(65_536)).build();
      case CHARGE_SWITCH, DISCHARGE_SWITCH ->
          with(right).value(kind, random.nextBoolean() ? 1 : 0).build();
      case BOARD_CHARGE -> with(right).boardMah(random.nextInt()).build();
    };
  }

  static String difference(Reading right, Reading wrong) {
    return right.cells()
        + " "
        + right.temperatures()
        + " "
        + right.currentMa()
        + " became "
        + wrong.cells()
        + " "
        + wrong.temperatures()
        + " "
        + wrong.currentMa();
  }

  private static CellVoltages cells(Random random, CellVoltages cells) {
    int wrong = 1 + random.nextInt(cells.count());
    int value =
        switch (random.nextInt(3)) {
          case 0 -> pick(random, CELLS);
          case 1 -> 20_000 + random.nextInt(22_000);
          default -> cells.tenthMv(wrong) + random.nextInt(2001) - 1000;
        };
    return CellVoltages.ofTenthMv(
        IntStream.rangeClosed(1, cells.count())
            .map(c -> c == wrong ? value : cells.tenthMv(c))
            .toArray());
  }

  private static Temperatures temps(Random random, Temperatures temps) {
    if (temps.count() == 0) {
      return temps;
    }
    int wrong = 1 + random.nextInt(temps.count());
    int value =
        random.nextBoolean()
            ? pick(random, TENTHS)
            : temps.tenthC(wrong) + random.nextInt(401) - 200;
    return Temperatures.ofTenthC(
        IntStream.rangeClosed(1, temps.count())
            .map(s -> s == wrong ? value : temps.tenthC(s))
            .toArray());
  }

  private static int current(Random random, PackPlan plan) {
    return random.nextBoolean()
        ? pick(random, AMPS)
        : (int) ((random.nextDouble() * 4 - 2) * plan.ratedMah());
  }

  private static int pick(Random random, List<Integer> values) {
    return values.get(random.nextInt(values.size()));
  }

  private static Reading.Builder with(Reading r) {
    Reading.Builder b = Reading.at(r.timeMs()).cells(r.cells()).temperatures(r.temperatures());
    present(r.currentMa()).forEach(b::currentMa);
    present(r.packMv()).forEach(b::packMv);
    present(r.socTenthPct()).forEach(b::socTenthPct);
    present(r.boardMah()).forEach(b::boardMah);
    r.bleedMask().ifPresent(b::bleedMask);
    r.boardAlarms().ifPresent(b::boardAlarms);
    present(r.chargeSwitch()).forEach(v -> b.chargeSwitch(v != 0));
    present(r.dischargeSwitch()).forEach(v -> b.dischargeSwitch(v != 0));
    return b;
  }

  private static IntStream present(OptionalInt value) {
    return value.stream();
  }
}
