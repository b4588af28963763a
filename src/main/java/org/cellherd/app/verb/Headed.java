package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Placed;
import org.cellherd.report.scene.Shape;

/** A drawing that stands alone: with its title, and with whose it is and when, above it. */
final class Headed {

  private static final double TITLE = 18;
  private static final double ROW = 14;
  private static final double ROOM = 52;
  private static final double LEFT = 12;

  private Headed() {}

  /** The scene with its own title and a line below that above it. */
  public static Drawing scene(Drawing scene, String line) {
    List<Shape> shapes = new ArrayList<>();
    shapes.add(new Shape.Words(LEFT, 26, scene.title(), Shape.Letter.of(TITLE, Ink.INK).strong()));
    shapes.add(new Shape.Words(LEFT, 46, line, Shape.Letter.of(ROW, Ink.SOFT)));
    shapes.addAll(new Placed(0, ROOM, 1).shapes(scene));
    return new Drawing(
        scene.width(),
        scene.height() + ROOM,
        scene.title() + ", " + line,
        scene.description(),
        shapes);
  }
}
