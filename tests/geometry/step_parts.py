"""A round bar as a STEP file, written out by hand: a solid of two discs and a cylinder."""

_UNITS = {
    "mm": "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))",
    "m": "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))",
}


def round_bar(radius: float, height: float, unit: str) -> str:
    """A bar along z from the origin; radius and height in `unit`, "mm" or "m"."""
    r, h = f"{radius:.6f}", f"{height:.6f}"
    return f"""ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('bar'),'2;1');
FILE_NAME('bar','2026-01-01T00:00:00',(''),(''),'','','');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));
ENDSEC;
DATA;
#1=APPLICATION_CONTEXT('core data for automotive mechanical design processes');
#2=APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,#1);
#3=PRODUCT_CONTEXT('',#1,'mechanical');
#4=PRODUCT('bar','bar','',(#3));
#5=PRODUCT_DEFINITION_FORMATION('','',#4);
#6=PRODUCT_DEFINITION_CONTEXT('part definition',#1,'design');
#7=PRODUCT_DEFINITION('design','',#5,#6);
#8=PRODUCT_DEFINITION_SHAPE('','',#7);
#9=SHAPE_DEFINITION_REPRESENTATION(#8,#10);
#10=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#11,#20),#90);
#11=AXIS2_PLACEMENT_3D('',#12,#13,#14);
#12=CARTESIAN_POINT('',(0.,0.,0.));
#13=DIRECTION('',(0.,0.,1.));
#14=DIRECTION('',(1.,0.,0.));
#15=DIRECTION('',(0.,0.,-1.));
#20=MANIFOLD_SOLID_BREP('bar',#21);
#21=CLOSED_SHELL('',(#30,#50,#60));
#30=ADVANCED_FACE('',(#31),#46,.T.);
#31=FACE_BOUND('',#32,.T.);
#32=EDGE_LOOP('',(#33,#34,#35,#36));
#33=ORIENTED_EDGE('',*,*,#37,.T.);
#34=ORIENTED_EDGE('',*,*,#38,.T.);
#35=ORIENTED_EDGE('',*,*,#39,.F.);
#36=ORIENTED_EDGE('',*,*,#38,.F.);
#37=EDGE_CURVE('',#40,#40,#42,.T.);
#38=EDGE_CURVE('',#40,#41,#44,.T.);
#39=EDGE_CURVE('',#41,#41,#43,.T.);
#40=VERTEX_POINT('',#70);
#41=VERTEX_POINT('',#71);
#42=CIRCLE('',#11,{r});
#43=CIRCLE('',#47,{r});
#44=LINE('',#70,#45);
#45=VECTOR('',#13,1.);
#46=CYLINDRICAL_SURFACE('',#11,{r});
#47=AXIS2_PLACEMENT_3D('',#72,#13,#14);
#50=ADVANCED_FACE('',(#51),#54,.F.);
#51=FACE_BOUND('',#52,.F.);
#52=EDGE_LOOP('',(#53));
#53=ORIENTED_EDGE('',*,*,#37,.T.);
#54=PLANE('',#11);
#60=ADVANCED_FACE('',(#61),#64,.T.);
#61=FACE_BOUND('',#62,.T.);
#62=EDGE_LOOP('',(#63));
#63=ORIENTED_EDGE('',*,*,#39,.T.);
#64=PLANE('',#47);
#70=CARTESIAN_POINT('',({r},0.,0.));
#71=CARTESIAN_POINT('',({r},0.,{h}));
#72=CARTESIAN_POINT('',(0.,0.,{h}));
#90=(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#94))
GLOBAL_UNIT_ASSIGNED_CONTEXT((#91,#92,#93))REPRESENTATION_CONTEXT('',''));
#91={_UNITS[unit]};
#92=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));
#93=(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT());
#94=UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),#91,'distance_accuracy_value','');
ENDSEC;
END-ISO-10303-21;
"""
