package org.cellherd.analysis.estimate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.cellherd.analysis.state.State;

/**
 * The blocks of one charge that say something new. A cell measures again only when it moved, the
 * current changed or a quarter of an hour went by: a cell that stands still has one error, and a
 * hundred readings of it are one.
 */
final class Kept {
  private static final int MOST = 200;
  private static final double AGAIN_H = 0.25;
  private static final double LEAST_MOVE_V = 0.003;
  private static final double LEAST_STEP_A = 0.3;

  /** At rest all moves by lags that are known badly: fewer looks. */
  static final double REST_SHARE = 0.005;

  private static final int REST_PACE = 3;

  /** Fitted anew when so much more is there. */
  private static final double FIT_AGAIN = 1.5;

  private static final int LEAST_NEW = 4;

  private final int cells;
  private final double ratedAh;
  private final List<Block> blocks = new ArrayList<>();
  private final double[] seenV;
  private final double[] seenA;
  private final double[] seenH;
  private final double[] bled;
  private final double[] unsure;
  private double lostAh;
  private int fitted;
  private int revision;

  Kept(int cells, double ratedAh) {
    this.cells = cells;
    this.ratedAh = ratedAh;
    seenV = new double[cells];
    seenA = new double[cells];
    seenH = new double[cells];
    bled = new double[cells];
    unsure = new double[cells];
  }

  List<Block> all() {
    return Collections.unmodifiableList(blocks);
  }

  int size() {
    return blocks.size();
  }

  Block last() {
    return blocks.get(blocks.size() - 1);
  }

  /** For how long each cell was bled since the last of them, h. */
  double[] bledSince() {
    return bled;
  }

  /** So many of them are fitted together; those after them are only filtered on. */
  int fitted() {
    return fitted;
  }

  void clear() {
    blocks.clear();
    forgetSince();
    fitted = 0;
    revision++;
  }

  private void forgetSince() {
    Arrays.fill(bled, 0);
    Arrays.fill(unsure, 0);
    lostAh = 0;
  }

  /** Offers a block; true when it was kept. */
  boolean offer(Block b) {
    for (int i = 0; i < cells; i++) {
      bled[i] += b.bledHours()[i];
      unsure[i] += b.unsureHours()[i];
    }
    lostAh += b.lostAh();
    long measures = b.measures() & news(b);
    if (measures == 0) {
      return false;
    }
    keep(b, measures);
    forgetSince();
    if (blocks.size() > MOST) {
      thin();
    }
    if (blocks.size() >= fitted * FIT_AGAIN + LEAST_NEW) {
      mark();
    }
    return true;
  }

  private void keep(Block b, long measures) {
    for (int i = 0; i < cells; i++) {
      if ((measures >> i & 1) != 0) {
        seenV[i] = b.volts()[i];
        seenA[i] = b.current().now();
        seenH[i] = b.hours();
      }
    }
    blocks.add(
        new Block(
                b.hours(),
                b.volts(),
                b.current(),
                b.ah(),
                lostAh,
                b.readings(),
                measures,
                bled,
                unsure,
                b.noise(),
                b.scatter(),
                b.resolution(),
                b.deadZoneA(),
                b.cold())
            .rounded());
  }

  /** When one cell has news, those that are half way to it are asked, too. */
  private long news(Block b) {
    if (blocks.isEmpty()) {
      return -1;
    }
    long news = news(b, 1);
    return news == 0 ? 0 : news(b, 0.5);
  }

  private long news(Block b, double share) {
    double now = b.current().now();
    double pace = share * (Math.abs(now) < REST_SHARE * ratedAh ? REST_PACE : 1);
    double blur = 4 * b.noise() / Math.sqrt(b.readings()) + b.scatter();
    double gate = pace * Math.max(Math.max(LEAST_MOVE_V, b.resolution()), blur);
    double step = Math.max(LEAST_STEP_A, 0.01 * ratedAh);
    long news = 0;
    for (int i = 0; i < cells; i++) {
      boolean isNew =
          Math.abs(b.volts()[i] - seenV[i]) >= gate
              || Block.Currents.step(now, seenA[i], b.deadZoneA()) >= step
              || b.hours() - seenH[i] >= pace * AGAIN_H;
      news |= isNew ? 1L << i : 0;
    }
    return news;
  }

  /** Of the pairs of neighbours, the half that differ least become one each. */
  private void thin() {
    List<Block> all = new ArrayList<>(blocks);
    int pairs = (all.size() - 1) / 2;
    double[] apart = new double[pairs];
    for (int p = 0; p < pairs; p++) {
      apart[p] = apart(all.get(2 * p + 1), all.get(2 * p + 2));
    }
    double[] sorted = apart.clone();
    Arrays.sort(sorted);
    blocks.clear();
    blocks.add(all.get(0));
    for (int p = 0; p < pairs; p++) {
      Block first = all.get(2 * p + 1);
      Block second = all.get(2 * p + 2);
      if (apart[p] <= sorted[pairs / 2]) {
        blocks.add(second.after(first));
      } else {
        blocks.add(first);
        blocks.add(second);
      }
    }
    blocks.addAll(all.subList(2 * pairs + 1, all.size()));
    mark();
  }

  /** Something else than blocks has changed what a fit begins with. */
  void reconsider() {
    revision++;
  }

  /** All of them are fitted together from now on. */
  void mark() {
    fitted = blocks.size();
    revision++;
  }

  /** Another one says that what was fitted is to be fitted anew. */
  int revision() {
    return revision;
  }

  /** By how much two blocks differ, V; what a change of current may move counts, too. */
  private double apart(Block a, Block b) {
    double most = Math.abs(a.current().now() - b.current().now()) * 0.1 / ratedAh;
    for (int i = 0; i < cells; i++) {
      most = Math.max(most, Math.abs(a.volts()[i] - b.volts()[i]));
    }
    return most;
  }

  void state(State io) {
    io.list(blocks, MOST + 1, Block.blank(cells), Block::state);
    io.each(seenV);
    io.each(seenA);
    io.each(seenH);
    io.each(bled);
    io.each(unsure);
    lostAh = io.number(lostAh);
    fitted = io.within(fitted, 0, MOST + 1);
  }
}
