package org.cellherd.analysis.state;

/** Hands every value to a writer and gives it back as it is. */
final class Saving extends State {
  private final StateWriter out;

  Saving(StateWriter out) {
    this.out = out;
  }

  @Override
  public boolean isRestoring() {
    return false;
  }

  @Override
  public long number(long now) {
    out.putLong(now);
    return now;
  }

  @Override
  public double number(double now) {
    out.putDouble(now);
    return now;
  }

  @Override
  public boolean flag(boolean now) {
    out.putBoolean(now);
    return now;
  }

  @Override
  public byte[] bytes(byte[] now) {
    out.putBytes(now);
    return now;
  }

  @Override
  int left() {
    return 0;
  }
}
