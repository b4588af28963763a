package org.cellherd.report.scene;

import java.util.ArrayList;
import java.util.List;

/** A drawing that stands alone: with its title, and with whose it is and when, above it. */
public final class Headed {

  private static final double TITLE = 18;
  private static final double ROW = 14;
  private static final double ROOM = 52;
  private static final double LEFT = 12;

  private Headed() {}

  /** The scene with its own title and a line below that above it. */
  public static Scene scene(Scene scene, String line) {
    List<Shape> shapes = new ArrayList<>();
    shapes.add(new Shape.Words(LEFT, 26, scene.title(), Shape.Letter.of(TITLE, Ink.INK).strong()));
    shapes.add(new Shape.Words(LEFT, 46, line, Shape.Letter.of(ROW, Ink.SOFT)));
    scene.shapes().forEach(shape -> shapes.add(lower(shape)));
    return new Scene(
        scene.width(),
        scene.height() + ROOM,
        scene.title() + ", " + line,
        scene.description(),
        shapes);
  }

  private static Shape lower(Shape shape) {
    if (shape instanceof Shape.Path path) {
      return new Shape.Path(path.points().lower(ROOM), path.pen());
    } else if (shape instanceof Shape.Area area) {
      return new Shape.Area(area.outline().lower(ROOM), area.fill(), area.opacity());
    } else if (shape instanceof Shape.Box box) {
      return new Shape.Box(box.x(), box.y() + ROOM, box.width(), box.height(), box.fill());
    } else if (shape instanceof Shape.Words words) {
      return new Shape.Words(words.x(), words.y() + ROOM, words.text(), words.letter());
    } else if (shape instanceof Shape.Link link) {
      List<Shape> inner = link.shapes().stream().map(Headed::lower).toList();
      return new Shape.Link(link.href(), link.name(), inner);
    }
    throw new IllegalStateException("unknown shape " + shape);
  }
}
