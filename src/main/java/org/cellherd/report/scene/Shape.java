package org.cellherd.report.scene;

import java.util.List;

/** One thing drawn. Units are those of the scene; y grows downwards. */
public sealed interface Shape {

  record Path(Points points, Pen pen) implements Shape {}

  record Area(Points outline, Ink fill, double opacity) implements Shape {}

  record Box(double x, double y, double width, double height, Ink fill) implements Shape {}

  record Words(double x, double y, String text, Letter letter) implements Shape {}

  /** Shapes that lead somewhere: in HTML a link with a name, elsewhere just the shapes. */
  record Link(String href, String name, List<Shape> shapes) implements Shape {
    public Link {
      shapes = List.copyOf(shapes);
    }
  }

  /** Which side of the text its x means. */
  enum Anchor {
    START,
    MIDDLE,
    END
  }

  record Letter(double size, Ink ink, Anchor anchor, boolean bold) {

    /** Plain text. */
    public static Letter of(double size, Ink ink) {
      return new Letter(size, ink, Anchor.START, false);
    }

    public Letter at(Anchor other) {
      return new Letter(size, ink, other, bold);
    }

    public Letter strong() {
      return new Letter(size, ink, anchor, true);
    }
  }
}
