package org.cellherd.analysis.plausible;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * The cells must add up to the pack: within 20 mV, 3 mV a cell and 0.3 %, whichever is most (common
 * practice, no source). Boards that measure the pack behind shunt and switches differ by the drop
 * in these; it is fitted as the resistance of the path and allowed for.
 */
final class SumCheck implements Check {
  private static final long DELAY_MS = 60_000;
  private static final double FADE_MS = 120_000;
  private static final double MOST_MOHM = 20;
  private static final long LEAST_FLOW = 60;

  private final Since off = new Since(DELAY_MS);
  private final double leastFlowA;
  private double restMv;
  private long rests;
  private double mohm;
  private long flows;
  private double restError;

  SumCheck(double ratedAh) {
    leastFlowA = Math.max(1, 0.05 * ratedAh);
  }

  @Override
  public void accept(Moment m, Reading reading) {
    if (!m.isComplete() || reading.packMv().isEmpty()) {
      off.set(false, m.upMs());
      return;
    }
    double packMv = reading.packMv().getAsInt();
    double error = m.sum() / 10.0 - packMv;
    double amperes = m.currentMa() == Moment.MISSING ? 0 : m.currentMa() / 1000.0;
    double step = m.isJoined() ? m.stepMs() : 0;
    if (m.flowingMa() == 0 || m.currentMa() == Moment.MISSING) {
      rests++;
      restMv += (error - restMv) * weight(step, rests);
    } else if (Math.abs(amperes) >= leastFlowA && rests > 0) {
      flows++;
      double seen = (restMv - error) / amperes;
      mohm += (Math.max(-MOST_MOHM, Math.min(MOST_MOHM, seen)) - mohm) * weight(step, flows);
    }
    restError = error + amperes * (flows >= LEAST_FLOW ? mohm : 0);
    double allowed = limit(m.series(), packMv);
    allowed += flows >= LEAST_FLOW ? 0 : Math.abs(amperes) * MOST_MOHM;
    off.set(Math.abs(restError) > allowed, m.upMs());
  }

  /** True when cells and pack of a single reading differ by more than any path explains. */
  static boolean isOff(Reading reading) {
    OptionalInt sum = reading.cells().sumTenthMv();
    if (sum.isEmpty() || reading.packMv().isEmpty()) {
      return false;
    }
    double packMv = reading.packMv().getAsInt();
    double path = Math.abs(reading.currentMa().orElse(0)) / 1000.0 * MOST_MOHM;
    return Math.abs(sum.getAsInt() / 10.0 - packMv) > limit(reading.cells().count(), packMv) + path;
  }

  private static double weight(double stepMs, long count) {
    return count == 1 ? 1 : stepMs / (stepMs + FADE_MS);
  }

  private static double limit(int cells, double packMv) {
    return Math.max(Math.max(20, 3.0 * cells), 0.003 * packMv);
  }

  /**
   * Resistance between cells and where the board measures the pack, mohm; NaN until seen, and where
   * the board's last digits leave nothing above zero.
   */
  double pathMohm() {
    return flows >= LEAST_FLOW && mohm > 0 ? mohm : Double.NaN;
  }

  /** True when cells and pack agree as far as is known. */
  boolean agrees() {
    return off.fromMs() < 0;
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    if (!off.holds()) {
      return Optional.empty();
    }
    return Optional.of(
        new Suspicion(
            Suspicion.Kind.SUM,
            List.of(),
            m.wallMs(off.fromMs()),
            "the cells do not add up to the pack: one cell channel or the pack's own divider is"
                + " wrong",
            "each cell and the whole pack with a meter",
            Facts.of()
                .put("cells_minus_pack_mv", restError, 0)
                .put("path_mohm", pathMohm(), 2)
                .build()));
  }

  @Override
  public void state(State io) {
    off.state(io);
    restMv = io.number(restMv);
    rests = io.number(rests);
    mohm = io.number(mohm);
    flows = io.number(flows);
    restError = io.number(restError);
  }
}
