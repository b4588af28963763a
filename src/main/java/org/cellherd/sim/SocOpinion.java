package org.cellherd.sim;

/**
 * The board's own count of charge: it counts what it prints, believes its setting of the capacity,
 * and jumps to full when a cell trips high. Belongs to one thread.
 */
final class SocOpinion {

  private final Traits traits;
  private double ah;

  /**
   * What the board believes.
   *
   * @param told whether it prints its opinion
   * @param capacityAh capacity that somebody once set
   * @param startPct opinion to begin with
   */
  public record Traits(boolean told, double capacityAh, double startPct) {}

  public SocOpinion(Traits traits) {
    this.traits = traits;
    this.ah = traits.capacityAh() * traits.startPct() / 100;
  }

  public void step(double printedMa, double seconds, boolean full) {
    ah = full ? traits.capacityAh() : ah + printedMa / 1000 * seconds / 3600;
    ah = Math.max(0, Math.min(traits.capacityAh(), ah));
  }

  /** True when the board prints it. */
  public boolean isTold() {
    return traits.told();
  }

  /** State of charge in 0.1 %. */
  public int tenthPct() {
    return (int) Math.round(1000 * ah / traits.capacityAh());
  }

  public int mah() {
    return (int) Math.round(1000 * ah);
  }
}
