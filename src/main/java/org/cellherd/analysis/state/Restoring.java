package org.cellherd.analysis.state;

/** Gives what a reader finds in place of every value. */
final class Restoring extends State {
  private final StateReader in;

  Restoring(StateReader in) {
    this.in = in;
  }

  @Override
  public boolean isRestoring() {
    return true;
  }

  @Override
  public long number(long now) {
    return in.getLong();
  }

  @Override
  public double number(double now) {
    return in.getDouble();
  }

  @Override
  public boolean flag(boolean now) {
    return in.getBoolean();
  }

  @Override
  public byte[] bytes(byte[] now) {
    return in.getBytes();
  }

  @Override
  int left() {
    return in.left();
  }
}
