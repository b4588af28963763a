package org.cellherd.report.scene;

import java.util.List;

/**
 * A drawing as a part of another one.
 *
 * @param x where its left edge comes to
 * @param y where its upper edge comes to
 * @param scale how many units of the other drawing its own unit is
 */
public record Placed(double x, double y, double scale) {

  /** The shapes of a drawing at this place. */
  public List<Shape> shapes(Drawing scene) {
    return shapes(scene.shapes());
  }

  private List<Shape> shapes(List<Shape> shapes) {
    return shapes.stream().map(this::placed).toList();
  }

  private Shape placed(Shape shape) {
    if (shape instanceof Shape.Path path) {
      return new Shape.Path(path.points().placed(this), pen(path.pen()));
    } else if (shape instanceof Shape.Area area) {
      return new Shape.Area(area.outline().placed(this), area.fill(), area.opacity());
    } else if (shape instanceof Shape.Box box) {
      double width = box.width() * scale;
      return new Shape.Box(ofX(box.x()), ofY(box.y()), width, box.height() * scale, box.fill());
    } else if (shape instanceof Shape.Words words) {
      return new Shape.Words(ofX(words.x()), ofY(words.y()), words.text(), letter(words.letter()));
    } else if (shape instanceof Shape.Link link) {
      return new Shape.Link(link.href(), link.name(), shapes(link.shapes()));
    }
    throw new IllegalStateException("unknown shape " + shape);
  }

  private Pen pen(Pen pen) {
    return new Pen(pen.ink(), pen.width() * scale, pen.dash());
  }

  private Shape.Letter letter(Shape.Letter letter) {
    return new Shape.Letter(letter.size() * scale, letter.ink(), letter.anchor(), letter.bold());
  }

  double ofX(double own) {
    return x + own * scale;
  }

  double ofY(double own) {
    return y + own * scale;
  }
}
