# SPDX-License-Identifier: Apache-2.0
"""Reference results by scikit-image and SciPy for integration tests.

reference.py available            exit 0 where both are installed
reference.py homography FILE      rows x,y,X,Y; prints the 9 entries of the matrix, row by row
reference.py flecks FAT INSIDE S  two matrices of 0..255 as text, S pixels a mm; prints the number of flecks of
                                  0.1 mm2 and more, their median and 90th percentile in mm2, the coarseness in %
"""
import sys

import numpy
import scipy.ndimage
import skimage.measure
import skimage.transform


def homography(path):
    points = numpy.loadtxt(path, delimiter=",")
    transform = skimage.transform.ProjectiveTransform()
    assert transform.estimate(points[:, :2], points[:, 2:])
    return list((transform.params / transform.params[2, 2]).ravel())


def flecks(fat_path, inside_path, px_per_mm):
    fat = numpy.loadtxt(fat_path)
    inside = numpy.loadtxt(inside_path) > 0
    half = (fat >= 127.5) & inside
    labels = skimage.measure.label(half, connectivity=2)
    areas = numpy.bincount(labels.ravel())[1:] / px_per_mm**2
    areas = areas[areas >= 0.1 - 1e-9]
    depth = scipy.ndimage.distance_transform_edt(numpy.pad(half, 1))[1:-1, 1:-1]
    core = (depth > 0.5 * px_per_mm + 0.5).sum()  # distances end at a pixel's centre, fat at its edge
    quantiles = numpy.percentile(areas, [50, 90]) if len(areas) else [0, 0]
    return [len(areas), *quantiles, 100 * core / half.sum() if half.any() else 0]


def main():
    what, *rest = sys.argv[1:]
    if what == "available":
        return
    numbers = homography(*rest) if what == "homography" else flecks(rest[0], rest[1], float(rest[2]))
    print(" ".join(f"{n:.12g}" for n in numbers))


if __name__ == "__main__":
    main()
