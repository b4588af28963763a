package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;

class SimPackTest {

  private static SimPack pack(double strapOhm, double leadOhm) {
    List<Cell> cells = new ArrayList<>();
    for (int i = 0; i < 4; i++) {
      CellTraits traits =
          new CellTraits(Curves.of(Chemistry.LFP), 100, Impedance.usual(0.0005), 0, 0);
      cells.add(new Cell(traits, 0.6));
    }
    return new SimPack(cells, strapOhm, leadOhm, 0.002, 25);
  }

  @Test
  void cellsAndStrapsAddUpToTheStack() {
    SimPack pack = pack(0.0001, 0.05);

    pack.step(20, 0, 1, 25);

    double sum = 0;
    for (int cell = 1; cell <= 4; cell++) {
      sum += pack.sensedV(cell);
    }
    assertThat(sum).isCloseTo(pack.stackV(), within(1e-9));
    assertThat(pack.terminalV() - pack.stackV()).isCloseTo(0.040, within(1e-9));
  }

  @Test
  void badStrapShowsInTheNextCellAndOnlyUnderCurrent() {
    SimPack pack = pack(0, 0.05);
    pack.strap(2, 0.001);

    pack.step(0, 0, 1, 25);
    double atRest = pack.sensedV(3) - pack.sensedV(2);
    pack.step(50, 0, 1, 25);
    double charging = pack.sensedV(3) - pack.sensedV(2);

    assertThat(atRest).isCloseTo(0, within(1e-6));
    assertThat(charging).isCloseTo(0.050, within(1e-6));
    assertThat(pack.sensedV(4)).isCloseTo(pack.sensedV(2), within(1e-6));
  }

  @Test
  void bleedingThroughItsLeadsLowersACellAndLiftsItsNeighbours() {
    SimPack pack = pack(0, 0.05);
    pack.step(0, 0, 1, 25);
    double before = pack.sensedV(1);

    pack.bleed(2, 0.1);
    pack.step(0, 0, 1, 25);

    // 100 mA through 50 mohm: 10 mV down, 5 mV up on both sides.
    assertThat(pack.sensedV(2) - before).isCloseTo(-0.010, within(2e-4));
    assertThat(pack.sensedV(1) - before).isCloseTo(0.005, within(2e-4));
    assertThat(pack.sensedV(3) - before).isCloseTo(0.005, within(2e-4));
    assertThat(pack.pausedV(2)).isCloseTo(before, within(2e-4));
  }

  @Test
  void tapErrorLiftsOneCellAndLowersTheNext() {
    SimPack pack = pack(0, 0.05);
    pack.step(0, 0, 1, 25);
    double sum = pack.sensedV(2) + pack.sensedV(3);

    pack.tapError(2, 0.012);

    assertThat(pack.sensedV(2) - pack.sensedV(1)).isCloseTo(0.012, within(1e-6));
    assertThat(pack.sensedV(3) - pack.sensedV(1)).isCloseTo(-0.012, within(1e-6));
    assertThat(pack.sensedV(2) + pack.sensedV(3)).isCloseTo(sum, within(1e-9));
  }

  @Test
  void bleedingTakesExactlyCurrentTimesTime() {
    SimPack pack = pack(0, 0.05);
    pack.bleed(2, 0.1);

    for (int i = 0; i < 36_000; i++) {
      pack.step(0, 0, 1, 25);
    }

    assertThat(pack.cell(2).chargeAh()).isCloseTo(60 - 1.0, within(1e-9));
    assertThat(pack.cell(1).chargeAh()).isCloseTo(60, within(1e-9));
  }

  @Test
  void currentWarmsCellsAndTheAirCoolsThem() {
    SimPack pack = pack(0.0002, 0.05);

    for (int i = 0; i < 1800; i++) {
      pack.step(-100, 0, 1, 25);
    }
    double warm = pack.celsius(2);
    for (int i = 0; i < 12 * 3600; i += 10) {
      pack.step(0, 0, 10, 25);
    }

    assertThat(warm).isBetween(26.0, 40.0);
    assertThat(pack.celsius(2)).isBetween(24.9, 26.5);
  }
}
