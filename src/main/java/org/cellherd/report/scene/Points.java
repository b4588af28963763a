package org.cellherd.report.scene;

import java.util.Arrays;

/** Points of a line, in order; the line may be interrupted. Immutable. */
public final class Points {

  private final float[] x;
  private final float[] y;

  private Points(float[] x, float[] y) {
    this.x = x;
    this.y = y;
  }

  /** A straight line. */
  public static Points line(double x1, double y1, double x2, double y2) {
    return new Builder().to(x1, y1).to(x2, y2).build();
  }

  /** The same points in another drawing. */
  Points placed(Placed place) {
    float[] across = new float[x.length];
    float[] down = new float[y.length];
    for (int i = 0; i < x.length; i++) {
      across[i] = (float) place.ofX(x[i]);
      down[i] = (float) place.ofY(y[i]);
    }
    return new Points(across, down);
  }

  /** How many, interruptions counted. */
  public int size() {
    return x.length;
  }

  /** Right of the left edge. */
  public float x(int i) {
    return x[i];
  }

  /** Below the upper edge. */
  public float y(int i) {
    return y[i];
  }

  /** True where the line is interrupted. */
  public boolean isBreak(int i) {
    return Float.isNaN(x[i]);
  }

  public static final class Builder {
    private float[] x = new float[64];
    private float[] y = new float[64];
    private int size;

    public Builder to(double px, double py) {
      if (size == x.length) {
        x = Arrays.copyOf(x, size * 2);
        y = Arrays.copyOf(y, size * 2);
      }
      x[size] = (float) px;
      y[size] = (float) py;
      size++;
      return this;
    }

    /** Interrupts the line. */
    public Builder lift() {
      return size == 0 || Float.isNaN(x[size - 1]) ? this : to(Float.NaN, Float.NaN);
    }

    public Points build() {
      return new Points(Arrays.copyOf(x, size), Arrays.copyOf(y, size));
    }
  }
}
