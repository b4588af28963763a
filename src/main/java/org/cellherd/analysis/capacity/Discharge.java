package org.cellherd.analysis.capacity;

import java.util.List;
import java.util.OptionalInt;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.ChargeEnd;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Moments;
import org.cellherd.pack.Reading;

/** What was drawn since the pack was full, and how it looked while it was. One thread. */
final class Discharge {
  private ChargeTermination startKind = ChargeTermination.NONE;
  private int topCell;
  private long behindAtTop;
  private long chargedUpMs;
  private long restMs;
  private long startUpMs = -1;
  private long lastUpMs = -1;
  private final Tally tally = new Tally();
  private final LowCrossings low;
  private final Moments temperature = new Moments();
  private long drawingMs;
  private long quietMs;
  private long bridgedMs;
  private long heardMs;
  private long printedMs;
  private double unheardAh;
  private double terminalWh;
  private double backAh;
  private double endTerminalWh;
  private double endSamplingAh;
  private boolean isOnLoad;
  private int endLowest;
  private int endMedian;
  private int endSpread;
  private int endCell;
  private double endAh;
  private double endWh;
  private double endChargedAh;

  Discharge(LowCrossings low) {
    this.low = low;
  }

  /** The pack is full: begin anew. */
  void begin(Moment moment) {
    ChargeEnd top = moment.chargeEnd();
    startKind = top.kind();
    topCell = top.topHighestCell();
    behindAtTop = top.behind(moment);
    chargedUpMs =
        Math.max(chargedUpMs, top.kind() == ChargeTermination.UNKNOWN ? top.topUpMs() : 0);
    startUpMs = -1;
    lastUpMs = -1;
    tally.clear();
    low.clear();
    temperature.clear();
    drawingMs = 0;
    quietMs = 0;
    bridgedMs = 0;
    heardMs = 0;
    printedMs = 0;
    unheardAh = 0;
    terminalWh = 0;
    backAh = 0;
    endTerminalWh = 0;
    endSamplingAh = 0;
    isOnLoad = false;
    endAh = 0;
    endWh = 0;
    endChargedAh = 0;
  }

  /** The latest reading shows charge flowing in. */
  void charging(Moment moment) {
    chargedUpMs = moment.readingUpMs();
  }

  /** Charge flowed over the step to the latest reading. */
  void add(Amounts step, Moment moment, int meanTenthC, boolean isStill) {
    tally.add(step);
    boolean isDrawing = !isStill && moment.currentMa() < 0;
    drawingMs += isDrawing ? step.durationMs() : 0;
    boolean isPrinted = moment.currentMa() != 0;
    printedMs += isPrinted ? step.durationMs() : 0;
    quietMs += isPrinted ? 0 : step.durationMs();
    terminalWh += terminalWh(step, moment);
    backAh += isStill ? 0 : step.charged() / (Flow.CHARGE_PER_MAH * 1000.0);
    bridgedMs += moment.step() == Moment.Step.BRIDGED ? step.durationMs() : 0;
    if (startUpMs >= 0 && moment.step() == Moment.Step.USUAL) {
      heardMs += step.durationMs();
    }
    if (isDrawing && meanTenthC != Integer.MIN_VALUE) {
      temperature.add(meanTenthC / 10.0);
    }
  }

  /** The step was not heard: it may have moved so much more or less. */
  void addUnheard(Amounts step, Moment moment, double doubtAh) {
    tally.add(step);
    terminalWh += terminalWh(step, moment);
    unheardAh += doubtAh;
    drawingMs += !hasBegun() || step.discharged() == 0 ? 0 : step.durationMs();
  }

  /** By the voltage between the pack's terminals now, Wh; NaN where the board does not tell it. */
  private static double terminalWh(Amounts step, Moment moment) {
    OptionalInt packMv = moment.reading().map(Reading::packMv).orElse(OptionalInt.empty());
    double mah = (step.discharged() - step.charged()) / (double) Flow.CHARGE_PER_MAH;
    return packMv.isPresent() ? mah * packMv.getAsInt() / 1e6 : Double.NaN;
  }

  /** The latest reading shows a load. */
  void note(Moment moment) {
    if (startUpMs < 0) {
      startUpMs = moment.readingUpMs();
      restMs = startUpMs - chargedUpMs;
    }
    lastUpMs = moment.readingUpMs();
    endLowest = moment.lowest();
    endMedian = moment.median();
    endSpread = moment.present() < 2 ? 0 : moment.spread();
    endCell = moment.lowestCell();
    isOnLoad = true;
    endHere();
    low.note(moment, endAh);
  }

  /** The latest reading shows no load: what flowed until the load went off belongs to it. */
  void pause(boolean isCounted) {
    if (isOnLoad && isCounted) {
      endHere();
    }
    isOnLoad = false;
  }

  private void endHere() {
    endAh = -tally.netAh();
    endWh = tally.dischargedWh() - tally.chargedWh();
    endTerminalWh = terminalWh;
    endChargedAh = backAh;
    endSamplingAh = tally.samplingAh();
  }

  boolean hasBegun() {
    return startUpMs >= 0;
  }

  ChargeTermination startKind() {
    return startKind;
  }

  int topCell() {
    return topCell;
  }

  /** True when a cell was still on its plateau at the top, and most others were not. */
  boolean wasBehind(int cell) {
    return (behindAtTop >>> (cell - 1) & 1) != 0;
  }

  long startUpMs() {
    return startUpMs;
  }

  /** Fold time of the last reading with a load. */
  long lastUpMs() {
    return lastUpMs;
  }

  /** Rest between the last charge and the first load, ms. */
  long restMs() {
    return restMs;
  }

  /** Drawn less what was put back, from the top to the last load, Ah. */
  double ah() {
    return endAh;
  }

  double wh() {
    return endWh;
  }

  /** Energy at the pack's own terminals, Wh; NaN where the board did not tell their voltage. */
  double terminalWh() {
    return endTerminalWh;
  }

  /** Time over which an offset of the current was counted, h. */
  double printedHours() {
    return printedMs / 3.6e6;
  }

  /** How far the count may be off because the current changed between readings, Ah. */
  double samplingAh() {
    return endSamplingAh;
  }

  /** How far what was not heard may be off, Ah. */
  double unheardAh() {
    return unheardAh;
  }

  /** Put back between the top and the last load, Ah. */
  double chargedAh() {
    return endChargedAh;
  }

  /** Put back until now, Ah. */
  double chargedSinceTopAh() {
    return backAh;
  }

  /** Mean current while a load was on, A; NaN before any. */
  double meanA() {
    return drawingMs == 0 ? Double.NaN : tally.dischargedAh() * 3.6e6 / drawingMs;
  }

  /** Mean of the cell sensors while a load was on, degC; NaN without any. */
  double meanTempC() {
    return temperature.mean();
  }

  /** Time since the pack was full that 0 was printed, h. */
  double quietHours() {
    return quietMs / 3.6e6;
  }

  /** Time that was bridged, h. */
  double bridgedHours() {
    return bridgedMs / 3.6e6;
  }

  /** Share of the time from first to last load that was heard, percent. */
  double coveragePct() {
    long whole = lastUpMs - startUpMs;
    return whole <= 0 ? 100 : Math.min(100, 100.0 * heardMs / whole);
  }

  /** Lowest cell under the last load, mV. */
  double endMv() {
    return endLowest / 10.0;
  }

  /** Median less lowest cell under the last load, mV. */
  double endLagMv() {
    return (endMedian - endLowest) / 10.0;
  }

  /** Highest less lowest cell under the last load, mV. */
  double endSpreadMv() {
    return endSpread / 10.0;
  }

  int endCell() {
    return endCell;
  }

  /** What each cell had left when the lowest was empty, Ah; first cell first. */
  List<Interval> left() {
    return low.left(endCell);
  }

  void state(State io) {
    startKind = io.constant(startKind);
    topCell = io.number(topCell);
    behindAtTop = io.number(behindAtTop);
    chargedUpMs = io.number(chargedUpMs);
    restMs = io.number(restMs);
    startUpMs = io.number(startUpMs);
    lastUpMs = io.number(lastUpMs);
    tally.state(io);
    low.state(io);
    temperature.state(io);
    drawingMs = io.number(drawingMs);
    quietMs = io.number(quietMs);
    bridgedMs = io.number(bridgedMs);
    heardMs = io.number(heardMs);
    printedMs = io.number(printedMs);
    unheardAh = io.number(unheardAh);
    terminalWh = io.number(terminalWh);
    backAh = io.number(backAh);
    endTerminalWh = io.number(endTerminalWh);
    endSamplingAh = io.number(endSamplingAh);
    isOnLoad = io.flag(isOnLoad);
    endLowest = io.number(endLowest);
    endMedian = io.number(endMedian);
    endSpread = io.number(endSpread);
    endCell = io.number(endCell);
    endAh = io.number(endAh);
    endWh = io.number(endWh);
    endChargedAh = io.number(endChargedAh);
  }
}
