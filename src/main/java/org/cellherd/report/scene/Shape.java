package org.cellherd.report.scene;

import java.util.List;

/** One thing drawn. Units are those of the scene; y grows downwards. */
public sealed interface Shape {

  /** A line, possibly interrupted. */
  record Path(Points points, Pen pen) implements Shape {}

  /** A filled outline. */
  record Area(Points outline, Ink fill, double opacity) implements Shape {}

  /** A filled rectangle. */
  record Box(double x, double y, double width, double height, Ink fill) implements Shape {}

  /** Text on its base line. */
  record Words(double x, double y, String text, Letter letter) implements Shape {}

  /** Shapes that lead somewhere: in HTML a link with a name, elsewhere just the shapes. */
  record Link(String href, String name, List<Shape> shapes) implements Shape {
    /** Copies the list. */
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

  /** How text looks. */
  record Letter(double size, Ink ink, Anchor anchor, boolean bold) {

    /** Plain text. */
    public static Letter of(double size, Ink ink) {
      return new Letter(size, ink, Anchor.START, false);
    }

    /** The same with another anchor. */
    public Letter at(Anchor other) {
      return new Letter(size, ink, other, bold);
    }

    /** The same in bold. */
    public Letter strong() {
      return new Letter(size, ink, anchor, true);
    }
  }
}
