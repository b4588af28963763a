package org.cellherd.sim;

import java.util.SplittableRandom;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * A board on a pack. {@link #step} lets it look and act, {@link #measure} gives what it prints: the
 * same at the same time, however often it is asked. Belongs to one thread.
 */
final class BoardModel {

  private final BoardTraits traits;
  private final ValueFaults faults = new ValueFaults();
  private final AnalogInputs meter;
  private final Thermometer thermometer;
  private final Switches switches;
  private final Bleeder bleeder;
  private final SocOpinion opinion;
  private final Chance noise;
  private double idleS;
  private @Nullable Reading last;

  public BoardModel(BoardTraits traits, int cells, Chance chance) {
    this.traits = traits;
    this.meter = new AnalogInputs(traits.meter(), faults, cells, chance);
    this.thermometer =
        new Thermometer(traits.sensors(), traits.temperatureStepC(), traits.temperatureNoiseC());
    this.switches = new Switches(traits.trip());
    this.bleeder = new Bleeder(traits.bleed(), cells);
    this.opinion = new SocOpinion(traits.soc());
    this.noise = chance.of("noise");
  }

  /** Looks at the pack after some seconds, and acts. */
  public void step(SimPack pack, double airC, double seconds) {
    double amperes = pack.currentA();
    meter.step(pack, seconds);
    thermometer.step(airC, amperes, seconds);
    double[] sensed = meter.sensedV();
    double highest = sensed[0];
    double lowest = sensed[0];
    for (double v : sensed) {
      highest = Math.max(highest, v);
      lowest = Math.min(lowest, v);
    }
    double coldest = thermometer.coldestC(pack);
    switches.step(highest, lowest, coldest, thermometer.hottestC(pack), amperes, seconds);
    bleeder.step(pack, seconds);
    double counted = traits.meter().invertedSign() ? -meter.printedMa() : meter.printedMa();
    opinion.step(counted, seconds, (switches.alarmBits() & 1) != 0);
    idleS = Math.abs(amperes) > traits.sleep().wakeA() ? 0 : idleS + seconds;
  }

  /** What the board prints at a time in ms UTC. */
  public Reading measure(SimPack pack, long timeMs) {
    Reading before = last;
    if (before != null && (before.timeMs() == timeMs || faults.isFrozen)) {
      return before.timeMs() == timeMs ? before : before.atTime(timeMs);
    }
    SplittableRandom random = noise.at(timeMs);
    CellVoltages shown = before == null ? CellVoltages.NONE : before.cells();
    Reading.Builder builder =
        Reading.at(timeMs)
            .cells(meter.cells(random, shown))
            .currentMa(meter.currentMa(random))
            .packMv(meter.packMv(pack, random))
            .temperatures(thermometer.measure(pack, random))
            .chargeSwitch(switches.chargeClosed())
            .dischargeSwitch(switches.dischargeClosed())
            .boardAlarms(switches.alarmBits());
    if (bleeder.tells()) {
      builder.bleedMask(bleeder.mask());
    }
    if (opinion.isTold()) {
      builder.socTenthPct(opinion.tenthPct()).boardMah(opinion.mah());
    }
    Reading reading = builder.build();
    last = reading;
    return reading;
  }

  /** False while the board sleeps and answers nobody. */
  public boolean isAwake() {
    return idleS < traits.sleep().afterS();
  }

  /** What the board itself takes from the whole stack, A. */
  public double ownA() {
    return traits.ownA();
  }

  public Switches switches() {
    return switches;
  }

  public Bleeder bleeder() {
    return bleeder;
  }

  public Thermometer thermometer() {
    return thermometer;
  }

  public ValueFaults faults() {
    return faults;
  }
}
