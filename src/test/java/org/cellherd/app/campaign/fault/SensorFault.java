package org.cellherd.app.campaign.fault;

import java.util.Random;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import org.cellherd.app.campaign.stage.CampaignBoard;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** One reading that is false although its check value is right. */
public enum SensorFault implements CampaignFault {
  FALSE_COLD((r, random) -> r.temperatures(Temperatures.ofTenthC(-400 - random.nextInt(150), 200))),
  FALSE_HEAT((r, random) -> r.temperatures(Temperatures.ofTenthC(700 + random.nextInt(600), 200))),
  CELL_AT_ZERO((r, random) -> r.cells(cell(0, random))),
  CELL_AT_LIMIT((r, random) -> r.cells(cell(4200 + random.nextInt(700), random))),
  FALSE_CURRENT((r, random) -> r.currentMa((random.nextBoolean() ? 1 : -1) * 320_000)),
  ALARM_BITS((r, random) -> r.boardAlarms(1L << random.nextInt(7)));

  private interface Falsehood {
    void tell(Reading.Builder reading, Random random);
  }

  private final Falsehood falsehood;

  SensorFault(Falsehood falsehood) {
    this.falsehood = falsehood;
  }

  private static CellVoltages cell(int mv, Random random) {
    int[] cells = {3310, 3311, 3312, 3313};
    cells[random.nextInt(cells.length)] = mv;
    return CellVoltages.ofMv(cells);
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.SENSOR;
  }

  @Override
  public boolean isRealOnly() {
    return false;
  }

  @Override
  public Strike strike() {
    return (world, random) -> {
      CampaignBoard board = world.wires().get(0).board();
      board.lie(once(reading -> falsehood.tell(reading, random)));
      return () -> board.lie(UnaryOperator.identity());
    };
  }

  private static UnaryOperator<Reading> once(Consumer<Reading.Builder> change) {
    AtomicInteger count = new AtomicInteger();
    return reading -> count.getAndIncrement() == 0 ? changed(reading, change) : reading;
  }

  private static Reading changed(Reading reading, Consumer<Reading.Builder> change) {
    Reading.Builder b =
        Reading.at(reading.timeMs()).cells(reading.cells()).temperatures(reading.temperatures());
    reading.currentMa().ifPresent(b::currentMa);
    reading.packMv().ifPresent(b::packMv);
    reading.socTenthPct().ifPresent(b::socTenthPct);
    change.accept(b);
    return b.build();
  }
}
