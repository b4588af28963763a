package org.cellherd.report.scene;

import java.util.List;

/**
 * A drawing.
 *
 * @param width in drawing units: CSS pixels for plots, tenths of a mm for labels
 * @param height the same
 * @param title what it shows, for those who do not see it
 * @param description the same at more length
 * @param shapes the first is drawn first
 */
public record Drawing(
    double width, double height, String title, String description, List<Shape> shapes) {
  public Drawing {
    shapes = List.copyOf(shapes);
  }
}
