package org.cellherd.sim;

import org.cellherd.pack.PackPlan;

/**
 * A simulated pack with its board and what its builder wrote down of it.
 *
 * @param plan as the builder would put it into a config
 * @param pack cells, straps and leads
 * @param board the board on it
 * @param decoder which description the board answers by
 * @param address its address on the line
 */
public record PackModel(PackPlan plan, SimPack pack, BoardModel board, String decoder, int address)
    implements Bus.Branch {

  @Override
  public double sourceV() {
    return pack.sourceV();
  }

  @Override
  public double seriesOhm() {
    return pack.seriesOhm();
  }

  @Override
  public boolean mayCharge() {
    return board.switches().chargeClosed();
  }

  @Override
  public boolean mayDischarge() {
    return board.switches().dischargeClosed();
  }
}
