package org.cellherd.app.campaign.stage;

import java.util.Random;
import java.util.function.LongSupplier;
import org.cellherd.board.FarSide;

/**
 * The wire of one pack: the board that belongs there, or for a while another one, and the trouble
 * of the line. One thread asks, any may change the trouble.
 */
public final class RoughWire implements FarSide {

  /** Noise comes in bursts: a line that never rests cannot be asked by anybody. */
  private static final long HUM_MS = 200;

  private final CampaignBoard board;
  private final CampaignBoard stranger;
  private final LongSupplier trueMs;
  private final long seed;
  private final Random random;
  private volatile Trouble trouble = Trouble.NONE;
  private volatile boolean isSwapped;
  private volatile long lateNanos;
  private boolean isStrangerAsked;
  private long hummedMs;

  /** A wire to a board, and another board that may take its place. */
  public RoughWire(CampaignBoard board, CampaignBoard stranger, LongSupplier trueMs, long seed) {
    this.board = board;
    this.stranger = stranger;
    this.trueMs = trueMs;
    this.seed = seed;
    this.random = new Random(seed);
  }

  @Override
  public byte[] exchange(byte[] sent) {
    Trouble now = trouble;
    if (board.opens(sent)) {
      isStrangerAsked = isSwapped;
    }
    byte[] answer = (isStrangerAsked ? stranger : board).exchange(sent);
    lateNanos = answer.length > 0 ? now.lateNanos(random) : 0;
    return answer.length == 0 ? answer : now.arrives(sent, answer, random);
  }

  @Override
  public byte[] announced() {
    long now = trueMs.getAsLong();
    if (now - hummedMs < HUM_MS) {
      return Trouble.NOTHING;
    }
    hummedMs = now;
    return trouble.noise(random);
  }

  @Override
  public long delayNanos() {
    return lateNanos;
  }

  @Override
  public boolean isPlugged() {
    return trouble.isPlugged(trueMs.getAsLong());
  }

  /** What the line does from now on. */
  public void become(Trouble next) {
    trouble = next;
  }

  /**
   * Puts the other board on the line, or the right one back, from the next poll on: no hand changes
   * a board within one.
   */
  public void swap(boolean toStranger) {
    isSwapped = toStranger;
  }

  /** By which its trouble is drawn. */
  long seed() {
    return seed;
  }

  /** The right board. */
  public CampaignBoard board() {
    return board;
  }
}
