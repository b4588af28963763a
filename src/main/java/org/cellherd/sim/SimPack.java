package org.cellherd.sim;

import java.util.Arrays;
import java.util.List;

/**
 * Cells in series with straps between them and sense leads to a board. Tap 0 is the negative end,
 * tap n the positive end of cell n; the strap between cells n and n+1 lies inside the measurement
 * of cell n+1. Cells are numbered from 1. Belongs to one thread.
 */
final class SimPack {

  private final Cell[] cells;
  private final double[] strapOhm;
  private final double[] leadOhm;
  private final double[] tapErrorV;
  private final double[] bleedA;
  private final CellHeat heat;
  private double mainOhm;
  private double currentA;

  /**
   * A pack.
   *
   * @param cells first cell first
   * @param strapOhm of each strap between two cells
   * @param leadOhm of each sense lead
   * @param mainOhm main leads, fuse and board switches together
   * @param ambientC temperature to begin with
   */
  public SimPack(
      List<Cell> cells, double strapOhm, double leadOhm, double mainOhm, double ambientC) {
    int n = cells.size();
    this.cells = cells.toArray(new Cell[0]);
    this.strapOhm = filled(n, strapOhm);
    this.strapOhm[0] = 0;
    this.leadOhm = filled(n + 1, leadOhm);
    this.tapErrorV = new double[n + 1];
    this.bleedA = new double[n];
    this.mainOhm = mainOhm;
    this.heat = new CellHeat(this.cells, ambientC);
  }

  private static double[] filled(int size, double value) {
    double[] array = new double[size];
    Arrays.fill(array, value);
    return array;
  }

  /**
   * Lets a current flow through the whole string for some seconds.
   *
   * @param ownA what the board itself takes from the whole stack
   */
  public void step(double amperes, double ownA, double seconds, double ambientC) {
    currentA = amperes;
    for (int i = 0; i < cells.length; i++) {
      cells[i].step(amperes - ownA - bleedA[i], seconds, heat.celsius(i));
    }
    heat.step(amperes, strapOhm, seconds, ambientC);
  }

  public int count() {
    return cells.length;
  }

  /** A cell, from 1. */
  public Cell cell(int number) {
    return cells[number - 1];
  }

  /** Temperature of a cell, degC. */
  public double celsius(int number) {
    return heat.celsius(number - 1);
  }

  /** Current through the string in the last step, A. */
  public double currentA() {
    return currentA;
  }

  /** Voltage of the open string with the present bleeding, V. */
  public double sourceV() {
    double sum = 0;
    for (int i = 0; i < cells.length; i++) {
      sum += cells[i].sourceV() - bleedA[i] * cells[i].seriesOhm();
    }
    return sum;
  }

  /** Resistance of the string with straps and main leads, ohm. */
  public double seriesOhm() {
    double sum = mainOhm;
    for (int i = 0; i < cells.length; i++) {
      sum += cells[i].seriesOhm() + strapOhm[i];
    }
    return sum;
  }

  /** Voltage at the pack's terminals outside its leads, V. */
  public double terminalV() {
    return stackV() + currentA * mainOhm;
  }

  /** Voltage between first and last tap, V. */
  public double stackV() {
    double sum = 0;
    for (int i = 0; i < cells.length; i++) {
      sum += cells[i].terminalV() + currentA * strapOhm[i];
    }
    return sum;
  }

  /** Voltage that the board's inputs see for a cell, through straps and leads, V. */
  public double sensedV(int number) {
    return cell(number).terminalV()
        + currentA * strapOhm[number - 1]
        + tapShift(number)
        - tapShift(number - 1);
  }

  /** The same with all bleeding paused, as boards decide by, V. */
  public double pausedV(int number) {
    Cell cell = cell(number);
    return cell.terminalV()
        + bleedA[number - 1] * cell.seriesOhm()
        + currentA * strapOhm[number - 1]
        + tapErrorV[number]
        - tapErrorV[number - 1];
  }

  /** How far a tap reads from its true potential: contact error and drop by bleeding, V. */
  private double tapShift(int tap) {
    double out = (tap > 0 ? bleedA[tap - 1] : 0) - (tap < cells.length ? bleedA[tap] : 0);
    return tapErrorV[tap] - out * leadOhm[tap];
  }

  /** Sets what a cell's bleed resistor takes, A. */
  public void bleed(int number, double amperes) {
    bleedA[number - 1] = amperes;
  }

  /** What a cell's bleed resistor takes, A. */
  public double bleedA(int number) {
    return bleedA[number - 1];
  }

  /** Sets the strap between a cell and the next one, ohm. */
  public void strap(int number, double ohm) {
    strapOhm[number] = ohm;
  }

  /** Resistance of the strap between a cell and the next one, ohm. */
  public double strapOhm(int number) {
    return strapOhm[number];
  }

  /** Sets a sense lead, ohm. */
  public void lead(int tap, double ohm) {
    leadOhm[tap] = ohm;
  }

  /** Resistance of a sense lead, ohm. */
  public double leadOhm(int tap) {
    return leadOhm[tap];
  }

  /** Shifts the potential of a tap as a bad contact does, V. */
  public void tapError(int tap, double volts) {
    tapErrorV[tap] = volts;
  }
}
